"""Recipe files of synthetic films: TOML in and out."""

import tomllib

from radmeasure.errors import InputError
from radmeasure.files.text import read_bytes
from radmeasure.model.recipe import flat_entries, recipes

_WHAT = "recipe file"


def read_recipes(path):
    """Recipes of a TOML file, one for each film.

    Returns
    -------
    tuple of Recipe

    Raises
    ------
    InputError
        The file or an entry is wrong; names it and lists the known entries.
    """
    data = read_bytes(path, _WHAT, most=1_000_000)
    try:
        table = tomllib.loads(data.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise InputError(f"{path} is not UTF-8 text", f"name a {_WHAT}") from None
    except tomllib.TOMLDecodeError as cause:
        raise InputError(f"{path} is not valid TOML ({cause})", "correct the line") from None
    try:
        return recipes(table)
    except InputError as error:
        raise InputError(f"{path}: {error.what}", error.do) from None


def _value(value):
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{escaped}"'
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(_value, value))}]"
    if value == {}:
        return "{}"  # an object that is there as it usually is
    return f"{value:g}" if isinstance(value, float) else str(value)


def recipe_text(table):
    """A nested mapping as TOML, one dotted entry a line."""
    return "\n".join(f"{name} = {_value(value)}" for name, value in flat_entries(table)) + "\n"

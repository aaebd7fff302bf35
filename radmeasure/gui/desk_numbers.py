"""The numbers of the tooth in hand, and the plan they are worked out with."""

from dataclasses import replace

from radmeasure.model import edits
from radmeasure.model.case import PlanChoice


class DeskNumbers:
    """Part of the desk."""

    def use_rules(self, rulebook, sizes):
        self.rulebook, self.sizes = rulebook, sizes
        self._evaluate()

    @property
    def plan(self):
        """PlanChoice of the tooth in hand, as dragged just now; or None."""
        if self.plan_preview is not None:
            return self.plan_preview
        return self.case.plans.get(self.tooth) if self.session else None

    def drag_plan(self, name, value, root):
        """Show the plan with one entry changed, before it is let go."""
        kept = self.case.plans.get(self.tooth, PlanChoice())
        self.plan_preview = replace(kept, **{name: value}, root=self._plan_root(root))
        self._evaluate(resting=False)

    def choose_plan(self, name, value, root=None):
        """Choose depth, seal or size for a root; None takes the choice back."""
        self.plan_preview = None
        if not self.tooth:
            return False
        choice = edits.ChoosePlan(self.tooth, name, value)
        kept = self.case.plans.get(self.tooth, PlanChoice())
        root = self._plan_root(root)
        if value is not None and root != kept.root:
            both = (edits.ChoosePlan(self.tooth, "root", root), choice)
            return self.apply(edits.Several(choice.sentence, both))
        return self.apply(choice, merge=True)

    def _plan_root(self, root):
        return root if len(self.roots) > 1 or root != "single" else None

    @property
    def settled(self):
        """True when the numbers shown are the full evaluation of what is placed."""
        return self._evaluator.settled

    @property
    def numbers_due(self):
        """True while numbers are about to be worked out: what can wait lets them go first."""
        return self._evaluator.due

    def _evaluate(self, resting=True):
        marks = self.landmarks
        if marks is None or self.rulebook is None or self.film is None:
            self._evaluator.ask(None)
            self.evaluation = None
            self.evaluated.emit()
            return
        spacing = self.film.spacing
        rulebook, plan, sizes = self.rulebook, self.plan, self.sizes
        wanted = (marks, rulebook, spacing, plan, sizes)
        there = self.evaluation is not None and self.evaluated_in_full and self.settled
        if there and wanted == self._evaluated_for:
            self.evaluated.emit()  # a film was turned, a label given: the numbers are the same
            return
        self._evaluated_for = wanted
        from radmeasure.workflow.evaluate import evaluate

        def question(live, check=None):
            return evaluate(marks, rulebook, spacing, plan, sizes, live, self.evaluation, check)

        self._evaluator.ask(question, resting)

    def _take_evaluation(self, evaluation, in_full):
        self.evaluation, self.evaluated_in_full = evaluation, in_full
        self.evaluated.emit()

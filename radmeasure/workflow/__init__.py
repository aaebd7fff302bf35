"""What a user can do, in the order it is done; the fronts call only this."""

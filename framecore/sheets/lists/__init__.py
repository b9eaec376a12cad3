"""Lists and texts: cover, contents, cut plan, order, sheets to cut, steps, finish, carrying, side by side, workings."""

"""The full screen: the bench, and a job worked at it. It asks the session, shows the state, and holds no rule."""

"""The sheet on the door: what it says, its connection diagram and its ladder, as plain shapes."""

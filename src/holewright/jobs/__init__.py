"""The use cases: one function for each sentence that a user would say."""

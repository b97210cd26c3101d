"""What a person wants to know: one function a question, each reading one snapshot."""

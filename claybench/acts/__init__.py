"""What a person does, declared once: the fields of each act, its checks and its questions.

Forms, commands and tables derive from it. What is written is in `work`, what is asked of the record in `ask`.
"""

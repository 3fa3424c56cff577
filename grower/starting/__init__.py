"""What `manage.py start` does, step by step, each refusal one plain sentence."""

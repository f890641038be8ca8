"""The screens, and the only place that knows Textual."""

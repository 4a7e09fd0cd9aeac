"""From syntax nodes to a Stage: what each line means, and what is doubtful in it."""

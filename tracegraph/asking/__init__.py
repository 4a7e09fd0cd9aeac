"""What a question needs before the meter is asked: files, the bench, which readings."""

"""Changes that people record: what each is about, its short form, and what it will put in doubt before it is done."""

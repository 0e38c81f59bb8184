"""Files that people write and read: plans, work tables, procedures, journals. Pydantic stays at this border."""

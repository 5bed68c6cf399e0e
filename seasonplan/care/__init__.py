"""What is due and why: jobs, amounts, lifting, cautions, and the agenda that puts them on days."""

"""A teacher's files: lessons, levels, terms and mock exams, and building what they ask for."""

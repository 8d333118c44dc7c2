"""What people type, read and checked: a module for each page or part of one."""

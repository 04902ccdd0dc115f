"""The commands, one module each: their options, what they print, their exit codes."""

"""What happens to the service when the machines under it fail, on PostgreSQL, Redis, a real worker
and a real mail server. Each study ends by itself and tells what it found."""

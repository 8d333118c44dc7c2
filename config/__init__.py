import os

# The resolver multiplies small matrices: one thread is fastest, and processes that share a machine do
# not fight over its cores. Has to be said before numpy is first imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

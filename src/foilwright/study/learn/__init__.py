"""Trials read back into the model: what explains them, which corrections they teach, what to read next."""

from foilwright.study.learn.days import Read, read
from foilwright.study.learn.diagnose import Correction, Diagnosis, diagnose
from foilwright.study.learn.told import document, text
from foilwright.study.learn.write import learnt

__all__ = ["Correction", "Diagnosis", "Read", "diagnose", "document", "learnt", "read", "text"]

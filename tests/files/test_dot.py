"""The graph file: the program that defines the language reads it where it is there; a small reader always does."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

from tests.files.shops import *  # noqa: F403

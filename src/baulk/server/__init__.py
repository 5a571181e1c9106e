"""The workbench in the browser: a read-only JSON API over a study, the built page, and a server on loopback."""

from baulk.server.app import create_app
from baulk.server.serve import serve
from baulk.server.study import Study, StudySource

__all__ = ["Study", "StudySource", "create_app", "serve"]

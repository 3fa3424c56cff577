"""How static files are kept: each under a name that changes with its content."""

from whitenoise.storage import CompressedManifestStaticFilesStorage

IMPORT = (r"""(?P<matched>import\s(?P<what>[^;"']+?)\sfrom\s"(?P<url>\./[^"]+)";)""", 'import %(what)s from "%(url)s";')


class StaticFiles(CompressedManifestStaticFilesStorage):
    """Our scripts import one another by those names too: a page never runs some of them as they were before an update.

    Django's own rule for imports takes in every script there is, and stumbles over a comment in one of htmx.
    """

    patterns = (*CompressedManifestStaticFilesStorage.patterns, ("waiting/*.js", (IMPORT,)))

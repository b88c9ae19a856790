"""Static files with a hash in their name, ES modules included, so that a phone never mixes old and new."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedFiles(CompressedManifestStaticFilesStorage):
    support_js_module_import_aggregation = True

"""A real Chromium and a server of its own, as the browser tests have them."""

from tests.browser.conftest import new_phone, playwright, shed

__all__ = ["new_phone", "playwright", "shed"]

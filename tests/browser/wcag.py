"""A page held against WCAG 2.2 AA, as far as `axe-core` can tell; nothing is sent back of what is right."""

from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Page

__all__ = ["AXE_SCRIPT", "faults"]

RUN = """async options => {
  if (!globalThis.axe) return null;
  const found = await axe.run({ resultTypes: ["violations"], ...options });
  return found.violations.flatMap(rule => rule.nodes.map(node => [rule.id, node.html]));
}"""


def faults(page: Page, **options: Any) -> list[list[str]]:
    """Each rule that is broken and the element that breaks it, by these options of `axe.run`."""
    found: list[list[str]] | None = page.evaluate(RUN, options)
    if found is None:
        page.evaluate(AXE_SCRIPT)
        found = page.evaluate(RUN, options)
    assert found is not None
    return found

"""A hand on the keyboard and nothing else, and what must hold on every page it comes to."""

from axe_playwright_python.sync_playwright import Axe

WIDTHS = ((390, 844), (820, 1180), (1440, 900))
THEMES = ("light", "dark")
FAR = 500  # more presses of Tab than any page has stops
HERE = """selector => {
  const node = document.activeElement;
  return !!node && node.matches(selector);
}"""


class Keyboard:
    """Drives one page by keys alone."""

    def __init__(self, page):
        self.page = page
        self.axe = Axe()
        self.seen = []

    def reach(self, selector, key="Tab"):
        """Press Tab until the focus is on what was looked for."""
        self.page.wait_for_selector(selector, state="attached")
        for _ in range(FAR):
            if self.page.evaluate(HERE, selector):
                return
            self.page.keyboard.press(key)
        where = self.page.evaluate("document.activeElement.outerHTML.slice(0, 200)")
        raise AssertionError(f"{selector} cannot be reached by {key}; the focus is on {where}")

    def press(self, selector, key="Enter"):
        """Go to something and press it."""
        self.reach(selector)
        self.page.keyboard.press(key)

    def follow(self, selector):
        """Go to a link or button that leads to another page, and wait for that page."""
        self.reach(selector)
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")
        self.page.wait_for_load_state()

    def deed(self, selector):
        """Go to a button that posts by htmx, press it and wait until htmx has settled the answer."""
        self.reach(selector)
        self.page.evaluate(
            "() => { window.settled = new Promise(done => {"
            " document.addEventListener('htmx:afterSettle', () => done(true), { once: true });"
            " document.addEventListener('htmx:responseError', e => done(e.detail.xhr.status), { once: true }); }); }"
        )
        self.page.keyboard.press("Enter")
        assert self.page.evaluate("window.settled") is True

    def write(self, selector, words):
        """Go to a field and write in it."""
        self.reach(selector)
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(words)

    def choose(self, selector, words):
        """Go to a select and type the beginning of a choice."""
        self.reach(selector)
        self.page.keyboard.type(words)
        chosen = self.page.evaluate("document.activeElement.selectedOptions[0].textContent")
        assert chosen.startswith(words)

    def radio(self, name, value):
        """Go to a group of radio buttons and move to one of them by the arrows."""
        self.reach(f'input[name="{name}"]')
        self.page.keyboard.press("Space")
        for _ in range(FAR):
            if self.page.evaluate("document.activeElement.value") == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{name} has no {value}")

    def look(self, name):
        """Ask axe about the page at three widths in both themes: nothing may be wrong."""
        page, wrong = self.page, []
        for width, height in WIDTHS:
            page.set_viewport_size({"width": width, "height": height})
            for theme in THEMES:
                page.emulate_media(color_scheme=theme, reduced_motion="reduce")  # colours at rest
                found = self.axe.run(page).response["violations"]
                wrong += [
                    (name, width, theme, one["id"], [node["html"][:160] for node in one["nodes"]])
                    for one in found
                ]
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                wrong.append((name, width, f"the page is {wide} wide"))
        page.set_viewport_size({"width": 1280, "height": 900})
        page.emulate_media(color_scheme="light", reduced_motion="no-preference")
        assert wrong == [], wrong
        self.seen.append(name)

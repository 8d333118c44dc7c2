"""The first run and the measuring pages of everybody, blank, refused and done, for eyes, ears and small screens."""

from tests.browser.wcag import wrong


def test_nothing_is_wrong_while_measuring(browser, live_server, tables):
    """Nothing is wrong with a measuring page, nor after a check that failed, nor once it is sent."""
    page = browser.new_page(base_url=live_server.url)
    page.goto("/measure/heron-strip/")
    assert wrong(page) == []
    page.goto("/measure/otter-liner/")
    for name, text in (("upper_glass", "20 1/4"), ("lower_glass", "20 1/4"), ("opening", "44")):
        page.fill(f"#id_m-{name}", text)
    page.get_by_role("button", name="Check my measures").click()
    assert wrong(page) == []
    page.get_by_role("button", name="Send my measures").click()
    assert wrong(page) == []
    page.close()


def test_nothing_is_wrong_on_the_first_page(browser, live_server, transactional_db):
    """The set-up page, blank and refused, has no violation either, and runs off no small screen."""
    context = browser.new_context(base_url=live_server.url, viewport={"width": 320, "height": 700})
    page = context.new_page()
    page.goto("/")
    assert wrong(page) == []
    page.get_by_role("button", name="Set up and sign in").click()
    assert wrong(page) == []
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    context.close()

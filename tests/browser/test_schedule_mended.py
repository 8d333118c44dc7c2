"""A window schedule in a browser: brought in, watched, mended in its place, given back."""

import pytest
from playwright.sync_api import expect

from quotes.desk import schedules as desk
from quotes.models import Schedule
from tests.quotes.sheets import GOOD, HEADINGS, grid, opened, with_cell


@pytest.fixture
def workbook(tmp_path):
    """Forty good lines and one that can't be read."""
    path = tmp_path / "alder court.xlsx"
    bad = with_cell("Upper glass height", "2-6", with_cell("Window", "Attic"))
    path.write_bytes(grid(HEADINGS, *[GOOD] * 40, bad))
    return path


def bring_in(page, workbook):
    page.goto("/schedules/")
    page.get_by_label("Family of parts").select_option("otter-liner")
    page.get_by_label("Filled-in workbook").set_input_files(workbook)
    page.get_by_role("button", name="Bring it in").click()


def test_a_line_is_mended_without_leaving_the_page(page, workbook):
    """The unreadable line stands first, is mended in its row, and the download says what changed."""
    bring_in(page, workbook)
    expect(page.locator("tbody tr").first).to_contain_text("Attic")
    page.get_by_role("link", name="Mend Attic").click()
    box = page.get_by_label("Upper glass height")
    expect(box).to_be_focused()
    box.fill("3-9")
    box.press("Enter")
    expect(page.get_by_text("“3-9” can be read as")).to_be_visible()
    page.get_by_label("Upper glass height").fill("20 1/4")
    page.get_by_role("button", name="Answer this line").click()
    row = page.locator("tbody tr").first
    expect(row).to_contain_text("Upper glass height was 2-6")
    expect(row).to_contain_text("OHL-05LS")
    expect(page.get_by_role("link", name="Mend Attic")).to_be_focused()
    with page.expect_download() as download:
        page.get_by_role("link", name="Download with the answers").click()
    sheet = opened(download.value.path().read_bytes()).active
    assert sheet.cell(42, 3).value == "2-6"
    assert [sheet.cell(42, at).value for at in (9, 10)] == ["part", "OHL-05LS"]


def test_the_page_watches_until_all_lines_are_answered(page, workbook, monkeypatch):
    """With no worker about the waiting page takes the work on and then shows the lines."""
    monkeypatch.setattr(desk, "AT_ONCE", 5)
    bring_in(page, workbook)
    expect(page.get_by_role("progressbar")).to_be_visible()
    expect(page.locator("tbody tr").first).to_contain_text("Attic", timeout=60_000)
    assert not Schedule.objects.get().lines.filter(attention=0).exists()

"""From an empty site to a student on their own page, with real clicks."""

from django.urls import reverse
from playwright.sync_api import Page, expect

from studio.accounts.account_mails import opening_token
from tests.browser.page_checks import PHONE, assert_accessible
from tests.browser.signing_in import open_as, sign_up
from tests.cast import PASSWORD


def add_student(page: Page, nickname: str) -> None:
    page.goto("/studio/students/add/")
    page.get_by_label("Nickname").fill(nickname)
    page.get_by_label("Left-handed").check()
    assert_accessible(page)
    page.get_by_role("button", name="Add student").click()


def make_link(page: Page) -> str:
    assert_accessible(page)
    page.get_by_role("button", name="Make a link").click()
    assert_accessible(page)
    return page.locator("#link-address").inner_text()


def test_a_teacher_signs_up_and_a_student_comes_in_by_a_link(screen, open_page):
    sign_up(screen)
    expect(screen.get_by_role("status")).to_contain_text("Your studio is open")
    add_student(screen, "Mira")
    link = make_link(screen)

    students_phone = open_page(PHONE)
    students_phone.goto(link)
    assert_accessible(students_phone)
    students_phone.get_by_role("button", name="Go to my practice").click()
    expect(students_phone.get_by_role("banner")).to_contain_text("Mira")
    assert_accessible(students_phone)


def test_a_teacher_who_asks_for_a_page_signs_in_on_the_way_to_it(screen, teacher):
    screen.goto("/bars/")
    screen.get_by_label("E-mail").fill(teacher.email)
    screen.get_by_label("Password", exact=True).fill(PASSWORD)
    screen.get_by_role("main").get_by_role("button", name="Sign in").click()
    expect(screen.get_by_role("heading", name="Bars", exact=True)).to_be_visible()


def test_a_removed_student_comes_back_by_undo(screen, teacher, student):
    open_as(screen, teacher, "/studio/students/")
    screen.get_by_role("link", name="Edit Mira").click()
    assert_accessible(screen)
    screen.get_by_role("link", name="Remove Mira").click()
    assert_accessible(screen)
    screen.get_by_role("button", name="Remove Mira").click()
    expect(screen.get_by_role("rowheader", name="Mira")).to_have_count(0)
    assert_accessible(screen)
    screen.get_by_role("button", name="Undo").click()
    expect(screen.get_by_role("rowheader", name="Mira")).to_be_visible()
    assert_accessible(screen)


def test_a_mistake_in_a_form_is_shown_beside_its_field(screen, teacher):
    open_as(screen, teacher, "/studio/kits/add/")
    screen.get_by_label("Name").fill("Pad")
    screen.get_by_label("Bass drum").check()
    screen.get_by_role("button", name="Add kit").click()
    error = screen.locator("#id_surfaces_field .field-error")
    expect(error).to_have_text("Choose at least one surface to play with a stick.")
    expect(screen.get_by_label("Name")).to_have_value("Pad")
    expect(screen.get_by_label("Bass drum")).to_be_checked()
    assert_accessible(screen)


def test_the_chosen_look_stays_on_the_next_page(screen):
    screen.goto("/")
    screen.get_by_label("Light or dark").select_option("dark")
    screen.goto("/sign-in/")
    paper = screen.evaluate("getComputedStyle(document.body).backgroundColor")
    assert paper == "rgb(24, 22, 19)"  # the dark paper, #181613
    assert_accessible(screen)


def test_signing_up_proposes_the_zone_of_the_device(browser, live_server):
    with browser.new_context(base_url=live_server.url, timezone_id="Asia/Tokyo") as context:
        page = context.new_page()
        page.goto(reverse("studio:open-studio", args=[opening_token("new@example.org")]))
        expect(page.get_by_label("Time zone")).to_have_value("Asia/Tokyo")


def test_a_link_is_copied_by_its_button(phone):
    phone.context.grant_permissions(["clipboard-read", "clipboard-write"])
    sign_up(phone)
    add_student(phone, "Mira")
    link = make_link(phone)
    phone.get_by_role("button", name="Copy the link").click()
    expect(phone.get_by_text("Copied.")).to_be_visible()
    # Pages of ours may not read it; this one is not of ours.
    phone.route("**/elsewhere", lambda route: route.fulfill(content_type="text/html", body="-"))
    phone.goto("/elsewhere")
    assert phone.evaluate("navigator.clipboard.readText()") == link

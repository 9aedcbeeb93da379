"""Two web processes and a worker, on a Redis and a PostgreSQL of their own."""

import json
import re
import time
from concurrent.futures import ThreadPoolExecutor
from http.cookiejar import CookieJar
from urllib.error import HTTPError
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, Request, build_opener

import psycopg
import pytest
from prometheus_client.parser import text_string_to_metric_families

from studio import task_queue
from tests import services

pytestmark = pytest.mark.services

E_MAIL, PASSWORD = "ines@example.org", "paradiddle-diddle-7"
OPEN_A_STUDIO = f"""
from studio.models import Teacher
from studio.studio_opening import create_studio
create_studio("Room 4", "UTC", Teacher.objects.create_user("{E_MAIL}", "{PASSWORD}"))
"""
TOKEN = "for-the-tests-alone"
#: Of two processes, each is then asked at least once, as good as surely.
OFTEN = 12
COUNTED = "django_http_requests_total_by_view_transport_method_total"


class Browser:
    """Keeps cookies; gets what it asks for whatever the status."""

    def __init__(self, site: str) -> None:
        self.site, self.jar = site, CookieJar()
        self.opener = build_opener(HTTPCookieProcessor(self.jar))

    def get(self, path: str, **headers: str):
        return self._open(Request(self.site + path, headers=headers))

    def post(self, path: str, **form: str):
        self.get(path)
        return self.send(path, **form)

    def send(self, path: str, **form: str):
        """Post a form that has been looked at before."""
        token = next(cookie.value for cookie in self.jar if cookie.name == "csrftoken")
        data = urlencode(form | {"csrfmiddlewaretoken": token}).encode()
        return self._open(Request(self.site + path, data, {"Referer": self.site + path}))

    def _open(self, request: Request):
        try:
            with self.opener.open(request, timeout=60) as answer:
                answer.text = answer.read().decode()
        except HTTPError as error:
            answer = error
            answer.text = error.read().decode()
        return answer


class Live:
    """The processes, and a teacher who is signed in."""

    def __init__(self, database, broker, site, worker) -> None:
        self.database, self.broker, self.site, self.worker = database, broker, site, worker
        self.teacher = Browser(site.url)
        self.sign_in()

    def sign_in(self):
        return self.teacher.post("sign-in/", username=E_MAIL, password=PASSWORD)

    def health(self) -> dict:
        return json.loads(Browser(self.site.url).get("health/").text)

    def wait_until_well(self) -> None:
        """A part may be late: the worker says every 20 seconds that it is there."""
        self.site.wait_for(lambda: self.health()["status"] == "ok", seen=self.health)


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    folder = tmp_path_factory.mktemp("live")
    with services.postgresql() as database, services.redis(folder) as broker:
        surroundings = services.environment(
            folder, DATABASE_URL=database.url, REDIS_URL=broker.url, METRICS_TOKEN=TOKEN
        )
        services.manage(surroundings, "migrate")
        services.manage(surroundings, "shell", "-c", OPEN_A_STUDIO)
        with (
            services.web(folder, surroundings, processes=2) as site,
            services.worker(folder, surroundings) as worker,
        ):
            yield Live(database, broker, site, worker)


@pytest.fixture
def live(running):
    """All of it runs when a test begins, and every process has noticed."""
    away = [server for server in (running.database, running.broker) if not server.is_running]
    for server in away:
        server.start()
    if running.broker in away:
        time.sleep(task_queue.breaker.rest)  # so long web processes do not ask for it
    if away:
        running.wait_until_well()
    return running


@pytest.fixture
def without_links(live):
    """The table of sign-in links is not where it belongs: whatever needs it breaks."""
    with psycopg.connect(live.database.url, autocommit=True) as connection:
        connection.execute("ALTER TABLE studio_signinlink RENAME TO mislaid")
        yield
        connection.execute("ALTER TABLE mislaid RENAME TO studio_signinlink")


def test_all_parts_are_well(live):
    live.wait_until_well()


def test_an_error_of_a_live_studio_can_be_found_by_the_number_on_the_page(live, without_links):
    answer = Browser(live.site.url).get("enter/s3cret-of-a-link/")
    number = re.search(r"the number <strong>(\w+)</strong>", answer.text)[1]
    assert answer.status == 500
    assert answer.headers["X-Request-ID"] == number
    (line,) = [line for line in live.site.output.splitlines() if f"[{number} " in line]
    assert "ERROR django.request" in line
    after = live.site.output.partition(line)[2]
    assert after.lstrip().startswith("Traceback (most recent call last):")


def test_no_link_of_a_student_is_in_the_log(live, without_links):
    Browser(live.site.url).get("enter/s3cret-of-a-link/")
    assert "GET /enter/… visitor" in live.site.output
    assert "s3cret" not in live.site.output


def test_the_worker_logs_under_the_number_of_the_request(live):
    """Asked by page after page: a broker that is slow to answer one is told nothing by it."""
    numbers = []

    def are_told() -> bool:
        with psycopg.connect(live.database.url, autocommit=True) as connection:
            connection.execute("DELETE FROM rhythms_rendering")  # or a page has nothing to ask
        numbers.append(live.teacher.get("bars/").headers["X-Request-ID"])
        output = live.worker.output
        return any(f"[{one} task rhythms.tasks.render]: Begun as " in output for one in numbers)

    live.worker.wait_for(are_told, seen=live.health)


def test_requests_of_both_processes_are_counted_together(live):
    def counted() -> float:
        answer = Browser(live.site.url).get("metrics/", Authorization=f"Bearer {TOKEN}")
        for family in text_string_to_metric_families(answer.text):
            for sample in family.samples:
                if sample.name == COUNTED and sample.labels["view"] == "studio:forgotten":
                    return sample.value
        return 0

    before = counted()
    for _ in range(OFTEN):
        Browser(live.site.url).get("forgotten-password/")
    assert counted() == before + OFTEN


def test_no_request_fails_after_postgresql_was_started_anew(live):
    assert {live.teacher.get("roster/").status for _ in range(OFTEN)} == {200}
    live.database.restart()
    assert {live.teacher.get("roster/").status for _ in range(OFTEN)} == {200}


def test_a_studio_without_its_database_says_so(live):
    live.database.kill()
    answer = Browser(live.site.url).get("health/")
    assert answer.status == 503
    assert json.loads(answer.text)["parts"]["database"] == "away"


def test_a_page_without_its_database_says_so_with_the_number_and_when_to_ask_again(live):
    live.database.kill()
    answer = live.teacher.get("roster/")
    assert (answer.status, answer.headers["Retry-After"]) == (503, "60")
    assert "The studio’s database does not answer" in answer.text
    assert answer.headers["X-Request-ID"] in answer.text


def test_what_was_typed_while_the_database_is_away_is_said_to_be_in_the_form(live):
    live.teacher.get("roster/")
    live.database.kill()
    answer = live.teacher.send("studio/kits/add/", name="Practice pads")
    assert answer.status == 503
    assert "what you typed is still in the form" in answer.text


def test_the_api_without_its_database_says_so_in_json(live):
    live.database.kill()
    answer = live.teacher.get("api/device/")
    (error,) = json.loads(answer.text)["error"]
    assert (answer.status, answer.headers["Retry-After"]) == (503, "60")
    assert error["code"] == "database-away"
    assert error["request_id"] == answer.headers["X-Request-ID"]


def meanwhile(live, act: str):
    """The answer of a page of which a query waits for a lock until PostgreSQL did this to it."""
    found = f"SELECT {act}(pid) FROM pg_stat_activity WHERE wait_event_type = 'Lock'"
    with (
        psycopg.connect(live.database.url) as holder,
        psycopg.connect(live.database.url, autocommit=True) as administrator,
        ThreadPoolExecutor(1) as browser,
    ):
        holder.execute("LOCK TABLE studio_student")
        answer = browser.submit(live.teacher.get, "roster/")
        while not administrator.execute(found).rowcount and not answer.done():
            time.sleep(0.05)
        return answer.result()


def test_a_page_that_loses_its_database_half_way_says_that_it_is_away(live):
    assert meanwhile(live, "pg_terminate_backend").status == 503


def test_what_a_database_that_is_there_refuses_is_an_error_of_our_own(live):
    assert meanwhile(live, "pg_cancel_backend").status == 500


def test_a_teacher_signs_in_while_redis_is_away(live):
    live.broker.kill()
    assert live.sign_in().status == 200
    assert live.teacher.get("roster/").status == 200
    assert live.health()["status"] == "impaired"

"""Which queue each task waits in, so that nobody on a page waits for something long.

    celery -A studio worker --queues quick   # engravings, mails: a blink each
    celery -A studio worker --queues slow    # takes, files of every sort, zones, sweeps
    celery -A studio worker                  # both, and what older versions have left

Every task has its line here: a test looks. A task whose time depends on what people send is slow.
"""

from kombu.entity import Queue

QUICK, SLOW = "quick", "slow"
#: Where all waited before there were two; whoever serves the slow one serves it too.
OLD = "celery"

QUEUES = [
    Queue(name, routing_key=name)  # type: ignore[no-untyped-call]
    for name in (QUICK, SLOW, OLD)
]
ROUTES = {
    task: {"queue": queue}
    for queue, tasks in {
        QUICK: ["rhythms.tasks.render", "studio.tasks.send_account_mail"],
        SLOW: [
            "assignments.tasks.look_at",
            "assignments.tasks.look_at_comfort_zone",
            "assignments.tasks.look_at_comfort_zones",
            "assignments.tasks.look_at_comfort_zones_of",
            "assignments.tasks.send_reminder",
            "assignments.tasks.send_reminders",
            "assignments.tasks.sweep_takes",
            "rhythms.tasks.make_file",
            "rhythms.tasks.read_file",
            "rhythms.tasks.sweep",
            "studio.tasks.send_waiting_mails",
            "studio.tasks.sweep",
            "studio.tasks.sweep_all",
        ],
    }.items()
    for task in tasks
}

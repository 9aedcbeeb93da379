// Of the service worker: a reminder comes, and a touch on it opens Today.
"use strict";

{
  const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));
  const { icon } = /** @type {{FILLWRIGHT: {icon: string}}} */ (/** @type {unknown} */ (self)).FILLWRIGHT;

  /** @typedef {{title: string, body: string, open: string}} Reminder */

  worker.addEventListener("push", (event) => {
    if (!event.data) return;
    const { title, body, open } = /** @type {Reminder} */ (event.data.json());
    // Another one takes the place of one that was not looked at.
    event.waitUntil(worker.registration.showNotification(title, { body, icon, tag: "reminder", data: { open } }));
  });

  worker.addEventListener("notificationclick", (event) => {
    event.notification.close();
    event.waitUntil(show(new URL(event.notification.data.open, location.origin).href));
  });

  /**
   * A page that is open already comes to the front, for as many minutes as it has, and if it stands
   * there from before this worker.
   *
   * @param {string} address
   */
  async function show(address) {
    const pages = await worker.clients.matchAll({ type: "window", includeUncontrolled: true });
    const there = pages.find(({ url }) => pathOf(url) === pathOf(address));
    if (there) await there.focus();
    else await worker.clients.openWindow(address);
  }

  /** @param {string} address */
  const pathOf = (address) => new URL(address).pathname;
}

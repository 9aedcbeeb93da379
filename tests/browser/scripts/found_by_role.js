// What a page shows of this role and name, as far as a person sees it: for browsers whose drivers
// do not find things so. A name is a string, or a part of it between `*`.
(role, name, root = document.body) => {
  const KINDS = {
    button: "button, [role=button], summary, input[type=submit]",
    link: "a[href]",
    heading: "h1, h2, h3, h4",
    checkbox: "input[type=checkbox]",
    radio: "input[type=radio]",
    field: "input:not([type=checkbox], [type=radio], [type=hidden]), select, textarea",
    any: "*",
  };
  const plain = (text) => text.replace(/\s+/g, " ").trim();
  const isSeen = (element) => {
    const { width, height } = element.getBoundingClientRect();
    return width > 0 && height > 0 && getComputedStyle(element).visibility === "visible";
  };
  const textOf = (element) => {
    const copy = element.cloneNode(true);
    for (const part of copy.querySelectorAll("select, [aria-hidden=true], [hidden], .optional")) part.remove();
    return plain(copy.textContent ?? "");
  };
  const namesOf = (element) => {
    const labels = [...(element.labels ?? [])].map(textOf);
    return [element.getAttribute("aria-label") ?? "", ...labels, textOf(element)].filter(Boolean);
  };
  const isIt = (said) => (name.startsWith("*") ? said.includes(name.slice(1, -1)) : said === name);
  return [...root.querySelectorAll(KINDS[role])].filter((element) => isSeen(element) && namesOf(element).some(isIt));
};

"""Somebody at a screen without scripts: opens a page, fills in its form, presses a button and reads the answer.

A form is sent as a browser sends it: with everything that stands in it already, and with its own one-time key. So a
story can only type into fields that are on the page and only press buttons that are there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urljoin

from django.test import Client

from tests.pages import text

Value = str | list[str]


@dataclass
class PageForm:
    """A form of a page: where it goes, what stands in it, what may be pressed."""

    action: str
    method: str
    name: str = ""
    filled: dict[str, list[str]] = field(default_factory=dict)
    offered: dict[str, list[str]] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[PageForm] = []
        self._open: PageForm | None = None
        self._outside: list[tuple[str, str, str]] = []
        self._select: tuple[str, list[str], list[str]] | None = None
        self._area = ""
        self._apart = False  # inside a <template>, which is for scripts

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._apart = self._apart or tag == "template"
        if self._apart:
            return
        said = {name: value if value is not None else "" for name, value in attrs}
        if tag == "form":
            self._open = PageForm(
                said.get("action", ""), said.get("method", "get").lower(), said.get("id", "")
            )
            self.forms.append(self._open)
        elif tag == "button" and "form" in said:
            self._outside.append((said["form"], said.get("name", ""), said.get("value", "")))
        elif self._open is not None and "disabled" not in said:
            self._control(tag, said, self._open)

    def _control(self, tag: str, said: dict[str, str], form: PageForm) -> None:
        name = said.get("name", "")
        if tag == "select":
            self._select = (name, [], [])
        elif tag == "option" and self._select is not None:
            self._select[1].append(said.get("value", ""))
            if "selected" in said:
                self._select[2].append(said.get("value", ""))
        elif tag == "button" and said.get("type", "submit") == "submit":
            form.buttons.append((name, said.get("value", "")))
        elif tag == "textarea" and name:
            form.offered[name], form.filled[name], self._area = [], [""], name
        elif tag == "input" and name:
            self._input(said, name, form)

    def _input(self, said: dict[str, str], name: str, form: PageForm) -> None:
        form.offered.setdefault(name, [])
        if said.get("type") in ("checkbox", "radio"):
            form.offered[name].append(said.get("value", "on"))
            if "checked" in said:
                form.filled.setdefault(name, []).append(said.get("value", "on"))
        elif said.get("type") != "file":
            form.filled.setdefault(name, []).append(said.get("value", ""))

    def handle_data(self, data: str) -> None:
        if self._area and self._open is not None:
            self._open.filled[self._area][0] += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "template":
            self._apart = False
        elif tag == "form":
            self._open = None
        elif tag == "textarea":
            self._area = ""
        elif tag == "select" and self._select is not None and self._open is not None:
            name, options, chosen = self._select
            self._open.offered[name] = options
            self._open.filled[name] = chosen or options[:1]
            self._select = None

    def close(self) -> None:
        """Give each form the buttons that stand elsewhere on the page and name it."""
        super().close()
        for owner, name, value in self._outside:
            for form in self.forms:
                if form.name == owner:
                    form.buttons.append((name, value))


def forms_on(page: Any) -> list[PageForm]:
    """The forms of a page that write something: sent by POST, with a one-time key."""
    parser = _Forms()
    parser.feed(page.content.decode())
    parser.close()
    return [form for form in parser.forms if form.method == "post" and "once" in form.offered]


@dataclass
class Desk:
    """One person's browser."""

    client: Client

    def read(self, address: str) -> str:
        """The words of a page that must be there."""
        page = self.client.get(address)
        assert page.status_code == 200, (address, page.status_code, page.headers.get("Location"))
        return text(page)

    def do(self, address: str, press: str = "", /, **typed: Value) -> str:
        """Fill in the form of a page that has all these fields and press. Returns where that leads; ``read`` it.

        ``press`` is the value of a button; a form with one button needs none.
        """
        answer, words = self.press(address, press, **typed)
        assert answer.status_code == 302, f"{address}: {words}"
        leads: str = urljoin(address, answer.url)
        return leads

    def press(self, address: str, press: str = "", /, **typed: Value) -> tuple[Any, str]:
        """The same, whatever comes back: (the answer, its words)."""
        page = self.client.get(address)
        assert page.status_code == 200, (address, page.status_code, page.headers.get("Location"))
        return self.send(address, page, press, **typed)

    def send(self, address: str, page: Any, press: str = "", /, **typed: Value) -> tuple[Any, str]:
        """Fill in a form of a page that is open already."""
        form = _form_with(forms_on(page), typed, press, address)
        data = form.filled | {name: [one] if isinstance(one, str) else one for name, one in typed.items()}
        if press:
            data |= {name: [value] for name, value in form.buttons if value == press and name}
        answer = self.client.post(urljoin(address, form.action.partition("#")[0]), data)
        return answer, text(answer) if answer.content else ""


def _form_with(forms: Iterable[PageForm], typed: dict[str, Value], press: str, address: str) -> PageForm:
    known = list(forms)
    for form in known:
        if set(typed) <= set(form.offered) and (not press or press in {value for _, value in form.buttons}):
            _choices_are_offered(form, typed, address)
            return form
    fields = [sorted(form.offered) for form in known]
    raise AssertionError(f"{address} has no form with {sorted(typed)} and the button “{press}”: {fields}")


def _choices_are_offered(form: PageForm, typed: dict[str, Value], address: str) -> None:
    for name, value in typed.items():
        choices = form.offered[name]
        wanted = [value] if isinstance(value, str) else value
        assert not choices or set(wanted) <= set(choices), f"{address}: {name} offers {choices}, not {wanted}"

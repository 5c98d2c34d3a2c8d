"""The words of the screens come from the shell, where they can be translated: none may be missing, none left over."""

import re

from apiary_ops.fieldbook import shell

SAID = re.compile(r"""\bsay\(\s*["`]([\w-]+)["`]""")
NAMED = re.compile(r'data-word="([\w-]+)"')


def scripts() -> str:
    return "\n".join(path.read_text(encoding="utf-8") for path in shell.FOLDER.rglob("*.js") if path.name != "idb.js")


def test_every_word_a_screen_says_is_in_the_shell():
    words = NAMED.findall(shell.shell_html())

    assert sorted(set(SAID.findall(scripts())) - set(words)) == []
    assert sorted(word for word in set(words) if words.count(word) > 1) == []


def test_every_word_of_the_shell_is_said_somewhere():
    text = scripts()
    # Words made from an answer ("patty-half-said") are found by their question.
    made = r"^(lower_box|patty|queen|cells|heft|view|depth|sky|fate|frames|below_halves|above_halves|sealed_halves)\b"

    unsaid = [
        word for word in NAMED.findall(shell.shell_html()) if f'"{word}"' not in text and not re.match(made, word)
    ]

    assert unsaid == []


def test_no_screen_makes_markup_from_data():
    assert re.findall(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(", scripts()) == []

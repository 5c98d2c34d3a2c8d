"""Papers: the toolkit that sets invoices, run sheets and every other printed page, with no tables of its own.

A paper is a header, a sequence of blocks and a few facts about itself; `build` turns them into PDF bytes:

    pdf = build(
        PaperHeader("Alder Bank Bees", ("Mill Lane 4",), "office@alderbank.example", ("Lift with two.",), "A4"),
        [
            title("Invoice 2027-0042", "Two nucs, week of 12 May"),
            facts([("Buyer", "Łukasz Čížek"), ("Due", "Wed 12 May 2027")]),
            table(
                [Column("What", share=3), Column("Nucs", "right"), Column("Amount €", "right")],
                [("Nuc on five frames", "2", "380.00")],
                total_rows=[("To pay", "2", "380.00")],
            ),
            signature_line("Received by"),
        ],
        title="Invoice", number="2027-0042", printed_on=date(2027, 5, 3),
    )

Which scripts print is said in `papers.lettering`. Text is set letter by letter and never read as markup.
"""

from apiary_ops.papers.blocks import Block, cautions, facts, heading, paragraph, signature_line, title
from apiary_ops.papers.columns import Column, tick_box
from apiary_ops.papers.sheet import PageSize, PaperHeader, build
from apiary_ops.papers.tables import table
from apiary_ops.papers.words import Words, current_words

__all__ = [
    "Block",
    "Column",
    "PageSize",
    "PaperHeader",
    "Words",
    "build",
    "cautions",
    "current_words",
    "facts",
    "heading",
    "paragraph",
    "signature_line",
    "table",
    "tick_box",
    "title",
]

"""Several layouts of one tank on one page: what each measure comes to in each of them, and which is best."""

from flowviz.comparison.choice import Choice
from flowviz.comparison.sentences import sentence
from flowviz.draw.layouts.curves import Along, curves_page
from flowviz.draw.layouts.stack import APART
from flowviz.draw.sheets.paragraphs import Text
from flowviz.draw.sheets.theme import INK, QUIET, TEXT, TITLE
from flowviz.draw.sheets.view import View
from flowviz.draw.sheets.wording import BARS

LINES, EACH, MOST = 4, 2, 8  # lines of the title and of each layout, and layouts that are told


def choice_view(choice: Choice) -> View:
    """Which layout is which, and the measures that can be better or worse."""
    numbers = list(range(1, len(choice.studies) + 1))
    figure = curves_page(
        choice.curves, words_above(choice), Along(numbers, "layout", way=False), choice.studies[0].scene.show
    )
    return View(figure, choice.title, f"{choice.title}. {' '.join((*choice.names, *choice.reasons))}")


def words_above(choice: Choice) -> tuple[Text, ...]:
    """The title, and which layout is which."""
    names = choice.names[:MOST]
    more = [f"And {len(choice.names) - MOST} more."] if len(choice.names) > MOST else []
    told = (Text(each, TEXT, most=EACH, apart=APART) for each in (*names, *more))
    return Text(choice.title, TITLE, INK, "bold", LINES), *told, Text(sentence(BARS), TEXT, QUIET, apart=APART)

"""The least valid questions and paper. Sittings are begun, answered and handed in by the real actions."""

from datetime import timedelta

import factory

from tests.factories.people import MONDAY, MemberFactory
from training.papers import actions
from training.papers.models import Paper, Question

AREAS = ("diagnosis", "motor", "safety")
LATER = MONDAY + timedelta(hours=1)


def content(slug, **parts):
    """A question as the drawer keeps it; a single answer unless told otherwise."""
    no = f"no. {slug.rsplit('-', maxsplit=1)[-1]}"
    question = {
        "slug": slug,
        "version": 1,
        "area": "diagnosis",
        "criterion": "U4.2a",
        "kind": "single",
        "rig": "twin-60",
        "stem": f"Stem of {no}?",
        "safety": False,
        "explanation": f"Explanation of {no}.",
        "source": f"Source of {no}",
        "fault": "check-valve-seep",
        "procedure": "",
        "options": [],
        "steps": [],
        "number": None,
    } | parts
    if question["kind"] in ("single", "multiple") and not question["options"]:
        rights = 1 if question["kind"] == "single" else 2
        question["options"] = [
            {
                "id": str(i),
                "text": f"Option {i} of {no}",
                "right": i <= rights,
                "reason": f"Because {i} of {no}.",
            }
            for i in range(1, 5)
        ]
    if question["kind"] == "order":
        question["steps"] = [
            {"id": str(i), "text": f"{word} of {no}", "place": i, "reason": f"Since {i} of {no}."}
            for i, word in enumerate(("Stop", "Lock", "Bleed", "Prove"), 1)
        ]
    if question["kind"] == "number":
        question["number"] = {
            "quantity": "current",
            "key": 20.0,
            "shown": "20 A",
            "tolerance": 0.05,
            "slips": [{"value": 40.0, "shown": "40 A", "reason": "Doubled the wrong way."}],
        }
    return question


class QuestionFactory(factory.django.DjangoModelFactory[Question]):
    class Meta:
        model = Question

    class Params:
        safety = False

    slug = factory.Sequence(lambda n: f"secret-name-{n}")
    area = "diagnosis"
    kind = "single"
    level = "application"
    content = factory.LazyAttribute(lambda o: content(o.slug, area=o.area, kind=o.kind, safety=o.safety))


class PaperFactory(factory.django.DjangoModelFactory[Paper]):
    class Meta:
        model = Paper

    slug = factory.Sequence(lambda n: f"paper-{n}")
    title = factory.Sequence(lambda n: f"Paper {n}")
    lede = "What comes before a spanner."
    pass_percent = 75
    draw = factory.LazyFunction(lambda: {"safety": 1})
    at_least = factory.LazyFunction(lambda: {"single": 1})


def sitting_of(*questions, member=None, paper=None, seed=1):
    """Begin a sitting of exactly these questions; each is a dict of QuestionFactory's arguments."""
    member = member or MemberFactory()
    Question.objects.update(live=False)
    for question in questions:
        QuestionFactory(**{"area": "safety"} | question)
    at_least = {(questions[0].get("kind") or "single"): 1}
    if paper is None:
        paper = PaperFactory(draw={"safety": len(questions)}, at_least=at_least)
    return actions.begin_sitting(paper=paper, member=member, at=MONDAY, seed=seed)


def line_of(sitting, kind="single"):
    """The first question of this kind in the sitting."""
    return next(line for line in sitting.questions.order_by("position") if line.content["kind"] == kind)


def right_answer(line):
    """What to give so that this question is wholly right."""
    question = line.content
    if question["kind"] == "order":
        return {"order": [step["id"] for step in sorted(question["steps"], key=lambda step: step["place"])]}
    if question["kind"] == "number":
        return {"typed": question["number"]["shown"]}
    return {"chosen": [option["id"] for option in question["options"] if option["right"]]}


def wrong_answer(line):
    """What to give so that this question earns nothing."""
    question = line.content
    if question["kind"] == "order":
        return {"order": right_answer(line)["order"][::-1]}
    if question["kind"] == "number":
        return {"typed": question["number"]["slips"][0]["shown"]}
    return {"chosen": [option["id"] for option in question["options"] if not option["right"]][:1]}


def answer_all(sitting, *, wrong=()):
    """Answer every question right, save those at the positions given."""
    for line in sitting.questions.order_by("position"):
        given = wrong_answer(line) if line.position in wrong else right_answer(line)
        actions.answer_question(sitting=sitting, position=line.position, given=given, at=LATER)
    return sitting


def handed_in(sitting, at=LATER):
    """Hand the paper in."""
    return actions.hand_in(sitting=sitting, at=at)

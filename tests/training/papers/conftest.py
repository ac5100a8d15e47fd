"""What the tests of the pages share."""

import pytest

from tests.factories.papers import sitting_of


@pytest.fixture
def begun(client):
    """Begin a sitting of these questions with its member signed in."""

    def begin(*questions):
        sitting = sitting_of(*questions)
        client.force_login(sitting.member)
        return sitting

    return begin

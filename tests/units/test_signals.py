"""Changes that others follow."""

from recoverykit.units.signals import Signal


class Follower:
    """What it was told."""

    def __init__(self):
        self.told = []

    def hear(self, news):
        self.told.append(news)


def test_all_are_told_in_the_order_they_came_and_once_each():
    signal, heard = Signal(), []

    class Named(str):
        def hear(self, news):
            heard.append((str(self), news))

    first, second = Named("first"), Named("second")
    for each in (first, second, second):
        signal.connect(each.hear)
    signal.send(7)
    assert heard == [("first", 7), ("second", 7)]


def test_what_is_gone_is_not_told():
    signal, stays = Signal(), Follower()
    signal.connect(stays.hear)
    signal.connect(Follower().hear)
    assert len(signal) == 1
    signal.send("now")
    assert stays.told == ["now"]


def test_who_comes_while_others_are_told_waits_for_the_next_change():
    signal, late = Signal(), Follower()

    class Brings:
        def hear(self, news):
            signal.connect(late.hear)

    brings = Brings()
    signal.connect(brings.hear)
    signal.send(1)
    assert late.told == []
    signal.send(2)
    assert late.told == [2]

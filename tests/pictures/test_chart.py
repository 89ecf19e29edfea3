import pytest

from pictures import SVG, centre, part, parts, points, read, said
from stickback.pictures import chart
from stickback.pictures.chart import Reading, Share

DAYS = [Reading("1 June", 0.5, 0.4, 0.6), Reading("2 June", 0.6, 0.5, 0.7), Reading("3 June", 0.8, 0.6, 0.9)]
BINS = [Share(0.4, 0.7, 0.6, 0.5, 40), Share(0.7, 0.9, 0.8, 0.85, 160), Share(0.9, 1.0, 0.95, 0.95, 10)]


def known(days=DAYS):
    return read(chart.known("Known up to 4 June", days))


def reliability(bins=BINS, floor=0.041):
    return read(chart.reliability("Predicted and observed", bins, floor))


def shares_at(root, ys):
    """The shares that heights stand for, read off the grid."""
    low, *_, high = said(part(root, "grid"))
    bottom, top = level(root, low), level(root, high)
    low, high = (float(each.removesuffix("\xa0%")) / 100 for each in (low, high))
    return [round(low + (bottom - y) / (bottom - top) * (high - low), 2) for y in ys]


def level(root, share):
    """How far down a share stands, by the line and the label of the grid."""
    place = said(part(root, "grid")).index(share)
    return points(list(part(root, "grid").iter(f"{SVG}polyline"))[place])[0][1]


def inside(root):
    """The corners of all that is drawn."""
    lines = [at for each in root.iter() if each.get("points") for at in points(each)]
    return lines + [centre(each) for each in parts(root, "known") + parts(root, "told") if each.find(f"{SVG}circle")]


@pytest.mark.parametrize(
    "root",
    [known(), known(DAYS[:1]), reliability(), reliability([], None)],
    ids=["known", "one day", "reliability", "nothing"],
)
def test_a_chart_is_a_picture_with_a_title_and_a_sentence_and_fits_its_frame(root):
    width, height = map(float, root.get("viewBox").split()[2:])
    assert (root[0].tag, root[1].tag) == (f"{SVG}title", f"{SVG}desc")
    assert root[0].text
    assert root[1].text.endswith(".")
    assert all(0 <= x <= width and 0 <= y <= height for x, y in inside(root))


@pytest.mark.parametrize("root", [known(), reliability()], ids=["known", "reliability"])
def test_a_chart_uses_no_colour_of_its_own_and_no_small_text(root):
    colours = {each.get(name) for each in root.iter() for name in ("fill", "stroke")} - {None}
    assert colours <= {"none", "currentColor"}
    assert all(float(each.get("font-size")) >= 13 for each in root.iter(f"{SVG}text"))


def test_the_line_stands_where_the_shares_say():
    root = known()
    (line,) = part(root, "known").iter(f"{SVG}polyline")
    xs, ys = zip(*points(line), strict=True)
    assert shares_at(root, ys) == [0.5, 0.6, 0.8]
    assert xs[1] - xs[0] == xs[2] - xs[1] > 0


def test_the_area_lies_between_the_ends_of_the_band():
    root = known()
    (area,) = part(root, "band").iter(f"{SVG}polygon")
    assert shares_at(root, [y for _, y in points(area)]) == [0.4, 0.5, 0.6, 0.9, 0.7, 0.6]


def test_the_axis_shows_the_tenths_that_are_needed():
    assert said(part(known(), "grid")) == ["40\xa0%", "50\xa0%", "60\xa0%", "70\xa0%", "80\xa0%", "90\xa0%"]
    assert said(part(known([Reading("1 June", 0.93, 0.92, 0.95)]), "grid")) == ["80\xa0%", "90\xa0%", "100\xa0%"]
    assert said(part(known([Reading("1 June", 0.5, 0.02, 0.97)]), "grid"))[::5] == ["0\xa0%", "100\xa0%"]


@pytest.mark.parametrize("many", [2, 3, 8, 31, 400])
def test_days_are_named_from_the_first_to_the_last_as_far_as_there_is_room(many):
    names = [f"{at} May" for at in range(1, many + 1)]
    found = said(part(known([Reading(name, 0.5, 0.4, 0.6) for name in names]), "days"))
    assert (found[0], found[-1]) == (names[0], names[-1])
    assert len(found) >= min(many, 3)
    assert len(set(found)) == len(found) <= 5


def test_the_first_and_the_last_day_are_named_and_the_sentence_says_where_it_leads():
    root = known()
    assert said(part(root, "days"))[:: len(said(part(root, "days"))) - 1] == ["1 June", "3 June"]
    assert root[1].text == "From 50\xa0% known on 1 June to 80\xa0% on 3 June, likely 60\xa0% to 90\xa0%."


def test_names_of_days_never_run_into_each_other():
    """Of five as of four as wide as these, every other one is named."""
    names = ("27 Nov", "4 Dec", "11 Dec", "18 Dec", "25 Dec")
    assert said(part(known([Reading(name, 0.5, 0.4, 0.6) for name in names]), "days")) == ["27 Nov", "11 Dec", "25 Dec"]


def test_a_single_day_is_a_dot_with_its_band():
    root = known(DAYS[:1])
    assert root[1].text == "1 June: 50\xa0% known, likely 40\xa0% to 60\xa0%."
    assert said(part(root, "days")) == ["1 June"]


def test_a_dot_stands_at_predicted_and_observed_and_its_area_follows_the_count():
    root = reliability()
    circles = list(part(root, "told").iter(f"{SVG}circle"))
    (same,) = part(root, "same").iter(f"{SVG}polyline")
    (left, bottom), (right, top) = points(same)
    found = [
        ((float(each.get("cx")) - left) / (right - left), (bottom - float(each.get("cy"))) / (bottom - top))
        for each in circles
    ]
    # The axes begin at 40 %.
    assert [(round(0.4 + x * 0.6, 2), round(0.4 + y * 0.6, 2)) for x, y in found] == [
        (0.6, 0.5),
        (0.8, 0.85),
        (0.95, 0.95),
    ]
    small, large, least = (float(each.get("r")) for each in circles)
    assert (large / small) ** 2 == pytest.approx(4)
    assert least >= 3


def test_the_noise_floor_is_named_and_every_bin_is_said():
    root = reliability()
    assert said(part(root, "noise")) == ["by chance alone: 4.1\xa0% off the line"]
    assert "210 answers" in root[1].text
    assert "60\xa0%: 50\xa0%, 80\xa0%: 85\xa0%, 95\xa0%: 95\xa0%" in root[1].text
    assert "4.1\xa0% off by chance" in root[1].text


def test_without_an_answer_the_picture_says_so():
    root = reliability([], None)
    assert said(part(root, "noise")) == ["no answer yet"]
    assert root[1].text == "No answer was predicted yet."


def test_small_charts_stand_side_by_side_with_what_each_is_at_now():
    drawn = chart.side_by_side(
        "Known", "1 Jan to 2 Feb", [("One", [None, 0.5, 0.75]), ("A very long name of a lesson", [])]
    )
    assert "Known now: One 75\xa0%; A very long name of a lesson not asked yet." in drawn
    assert [line for line in ("A very long name", "of a lesson") if f">{line}<" in drawn] == [
        "A very long name",
        "of a lesson",
    ]
    assert drawn.count("<circle") == 1


def test_a_bar_is_as_long_as_its_share_and_says_its_range():
    root = read(chart.bar(0.5, 0.25, 0.75))
    frame, filled = list(root.iter(f"{SVG}rect"))
    assert float(filled.get("width")) * 2 == float(frame.get("width"))
    assert root[1].text == "50\xa0%, likely 25\xa0% to 75\xa0%."

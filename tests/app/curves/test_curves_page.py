"""The curves in a browser: what lies over the canvas fits it, and everything is done by key and pointer."""

from __future__ import annotations

from itertools import combinations, pairwise
from typing import Any

import pytest

from pvsim.app.session.state import State
from pvsim.array.place import Place
from pvsim.files.demo import read_demo
from pvsim.files.link import pack
from pvsim.files.scenario_file import write_scenario
from tests.app.conftest import DESK, PHONE

pytestmark = [pytest.mark.ui, pytest.mark.usefixtures("kept_pages")]

HALL = {"width": 1920, "height": 1080}
FRAMES = """board => {
  const origin = board.getBoundingClientRect()
  const found = {}
  for (const holder of board.querySelectorAll(".figure")) {
    if (!holder.offsetHeight) continue
    const view = [...Bokeh.index.all_views()].find(one =>
      one.model.type === "Plot" && holder.contains(one.el))
    const plot = view.model
    const box = view.el.getBoundingClientRect(), frame = view.frame.bbox
    const line = plot.renderers.find(one => (one.name || "").startsWith("now")).glyph.line_width
    found[holder.dataset.figure] = {
      x: box.left - origin.left + frame.left, y: box.top - origin.top + frame.top,
      width: frame.width, height: frame.height,
      V: [plot.x_range.start, plot.x_range.end], Y: [plot.y_range.start, plot.y_range.end],
      ink: plot.below[0].major_label_text_color,
      type: parseFloat(plot.below[0].major_label_text_font_size),
      stroke: line.value ?? line,
    }
  }
  return found
}"""

TEXTS = """board => {
  const origin = board.getBoundingClientRect()
  return [...board.querySelectorAll(".overlay text")].map(node => {
    const box = node.getBoundingClientRect()
    return {words: node.textContent.replaceAll("\\u200b", ""), x: box.x - origin.x, y: box.y - origin.y,
      width: box.width, height: box.height}
  }).filter(one => one.width > 0)
}"""


def shaded_query(level: str = "module", **more: Any) -> str:
    """An address with one shaded cell."""
    state = State(read_demo("workshop"))
    state.paint([Place(1, 4, cell=14)], 0.2)
    if more:
        state.set_operation(**more)
    return "?s=" + pack(state.scenario)


def board(page: Any) -> Any:
    """The curves with all that belongs to them."""
    return page.locator(".board")


def frames_of(page: Any) -> Any:
    """The figures seen, by kind, once they are drawn."""
    wait_for(page, page.locator(".board .overlay"), "data-drawn", "/ ./.test(it)", None)
    return board(page).evaluate(FRAMES)


def wait_for(page: Any, locator: Any, attribute: str, holds: str, value: Any) -> None:
    """Wait until `attribute` of an element, called `it`, and `value` satisfy a JavaScript expression."""
    page.wait_for_function(
        f"([node, value]) => {{ const it = node.getAttribute('{attribute}') || ''; return {holds} }}",
        arg=[locator.element_handle(), value],
    )


def choose(page: Any, group: str, name: str, drawn: str = "") -> None:
    """Choose one of a row of choices, and wait until it is chosen and drawn."""
    choice = page.get_by_role("radiogroup", name=group).get_by_role("radio", name=name, exact=True)
    choice.click()
    wait_for(page, choice, "aria-checked", "it === value", "true")
    if drawn:
        wait_for(page, page.locator(".board .overlay"), "data-drawn", "it.includes(value)", drawn)


def laid_out(page: Any, region: str, selector: str, says: str, read: str) -> Any:
    """What `read` finds out about the first match in a region that says so, once it has its place.

    It is found and looked at in one go: between two questions it may have been drawn anew.
    """
    look = f"""([region, selector, says]) => {{
      const has = one => one.textContent.includes(says) && one.getBoundingClientRect().width > 0
      const within = root => [...root.querySelectorAll(selector)].filter(has).at(-1)
        ?? [...root.querySelectorAll("*")].map(one => one.shadowRoot && within(one.shadowRoot)).find(Boolean)
      const one = within(region)
      return one ? [({read})(one)] : null
    }}"""
    seen = page.wait_for_function(look, arg=[page.locator(region).element_handle(), selector, says])
    return seen.json_value()[0]


BOX = "one => (({ x, y, width, height }) => ({ x, y, width, height }))(one.getBoundingClientRect())"


def voltage_slider(page: Any) -> Any:
    """The slider that holds the array."""
    return board(page).get_by_role("slider")


def wait_text(page: Any, slider: Any, old: str) -> str:
    """Wait until the slider says something else."""
    wait_for(page, slider, "aria-valuetext", "it !== value", old)
    return slider.get_attribute("aria-valuetext")


def test_marks_lie_on_the_canvas_to_the_pixel(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Array", "array")
    frames = frames_of(page)
    frame = frames["current"]
    state = State(read_demo("workshop"))
    state.paint([Place(1, 4, cell=14)], 0.2)
    best = state.solution.characteristic.mpp
    x = frame["x"] + frame["width"] * (best.voltage_V - frame["V"][0]) / (frame["V"][1] - frame["V"][0])
    y = frame["y"] + frame["height"] * (frame["Y"][1] - best.current_A) / (frame["Y"][1] - frame["Y"][0])
    spots = board(page).evaluate(
        """board => {
          const o = board.getBoundingClientRect()
          return [...board.querySelectorAll(".overlay circle.point.current")].map(c => {
            const b = c.getBoundingClientRect()
            return [b.x + b.width / 2 - o.x, b.y + b.height / 2 - o.y]
          })
        }"""
    )
    assert min(abs(sx - x) + abs(sy - y) for sx, sy in spots) < 1.5  # a pixel and a half in sum


def test_the_figures_share_their_voltage_axis_and_their_scale(left_open) -> None:
    page = left_open.open(shaded_query())
    frames = frames_of(page)
    assert frames["current"]["x"] == frames["power"]["x"]
    assert frames["current"]["width"] == frames["power"]["width"]
    assert abs(frames["current"]["height"] - frames["power"]["height"]) <= 2  # pixels are whole
    choose(page, "What is shown", "Change", "difference")
    frames = frames_of(page)
    # So that the factor is true in pixels.
    assert abs(frames["power"]["height"] - frames["difference"]["height"]) <= 2
    usual = frames["power"]["x"]
    state = State(read_demo("workshop"))
    state.build_array(3, 20, "full-60")
    text = write_scenario(state.scenario).encode()  # tens of kilowatts: its numbers need more room
    file = {"name": "large.toml", "mimeType": "text/plain", "buffer": text}
    page.locator("#field-open").set_input_files(file)
    page.get_by_test_id("said").filter(has_text="opened").wait_for()
    choose(page, "What is shown", "Curves", "power")
    page.wait_for_function(
        f"""([board, usual]) => {{
          const {{ current, power }} = ({FRAMES})(board)
          return current && power && power.x > usual && current.x === power.x && current.width === power.width
        }}""",
        arg=[board(page).element_handle(), usual],
    )


# Every figure that is seen has the width of its place, and what lies over it is drawn for that.
FITTED = """async board => {
  for (let k = 0; k < 2; k++) await new Promise(requestAnimationFrame)
  return [...board.querySelectorAll(".figure")].filter(one => one.offsetHeight).every(one => {
    const view = [...Bokeh.index.all_views()].find(at => at.model.type === "Plot" && one.contains(at.el))
    return Math.abs(view.el.clientWidth - one.clientWidth) <= 1 && view.bbox.width === view.el.clientWidth
  })
}"""


def resize(page: Any, size: dict[str, int]) -> None:
    """Give the page another size, and wait until the curves are drawn for it."""
    page.set_viewport_size(size)
    page.wait_for_function(FITTED, arg=board(page).element_handle())


SHOWN = {  # the level chosen, and what is drawn then
    "Array": "array",
    "String 1": "string",
    "Module 4": "module",
    "Substr. 1": "substring",
    "Cell 1": "cell",
}


def test_no_label_covers_another_one(bench) -> None:
    page = bench.open(shaded_query(kind="voltage", value=262.0))
    for size in (DESK, PHONE):
        resize(page, size)
        for level, drawn in SHOWN.items():
            choose(page, "Level shown", level, drawn)
            texts = [one for one in board(page).evaluate(TEXTS) if one["words"].strip()]
            assert len(texts) >= 4, (size, level)
            for a, b in combinations(texts, 2):
                across = min(a["x"] + a["width"], b["x"] + b["width"]) - max(a["x"], b["x"])
                down = min(a["y"] + a["height"], b["y"] + b["height"]) - max(a["y"], b["y"])
                # Line boxes carry air above and below the letters.
                apart = across < 3 or down < 0.35 * min(a["height"], b["height"])
                assert apart, (size, level, a["words"], b["words"])


def test_figures_are_images_with_names(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Module 4")
    image = board(page).get_by_role("img", name="Power against voltage of string 1, module 4")
    image.wait_for()
    assert image.count() == 1


def test_tab_goes_from_control_to_control_and_never_to_a_canvas(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Array", "array")
    active = """() => {
      let node = document.activeElement
      while (node.shadowRoot && node.shadowRoot.activeElement) node = node.shadowRoot.activeElement
      return node.getAttribute("aria-label") || node.textContent
    }"""
    stops = []
    for _ in range(6):
        page.keyboard.press("Tab")
        stops.append(page.evaluate(active))
    voltage = "Voltage of the array, found by the tracker"
    assert stops == ["Curves", "V < 0", "Fit", "MPP", f"{voltage} (V)", voltage]


def test_the_operating_point_moves_by_key_and_says_so(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Array", "array")
    slider = voltage_slider(page)
    old = slider.get_attribute("aria-valuetext")
    assert "V" in old
    slider.focus()
    page.keyboard.press("ArrowLeft")
    new = wait_text(page, slider, old)
    assert float(new.split()[0]) < float(old.split()[0])
    ways = page.get_by_role("radiogroup", name="The array is held at")
    held = ways.get_by_role("radio", name="V", exact=True)
    assert held.get_attribute("aria-checked") == "true"


def test_a_fast_drag_ends_where_the_pointer_ended(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Array", "array")
    slider = voltage_slider(page)
    frame = frames_of(page)["current"]
    origin = board(page).bounding_box()
    x0, y0 = origin["x"] + frame["x"], origin["y"] + frame["y"]
    page.mouse.move(x0 + 0.3 * frame["width"], y0 + 10)
    page.mouse.down()
    for step in range(60):
        page.mouse.move(x0 + (0.3 + 0.005 * step) * frame["width"], y0 + 10)
    page.mouse.up()
    # The pointer ended at 59.5 % of the axis, over the flat part of the curve.
    target = frame["V"][0] + 0.595 * (frame["V"][1] - frame["V"][0])
    wait_for(page, slider, "aria-valuetext", "Math.abs(parseFloat(it) - value) < 3", target)
    page.get_by_role("button", name="Undo").first.click()
    wait_for(page, slider, "aria-valuetext", "Math.abs(parseFloat(it) - value) > 20", target)


def test_the_table_is_reached_by_tab_and_has_the_curves_numbers(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Module 4")
    choose(page, "What is shown", "Table")
    region = board(page).get_by_role("region", name="I-V characteristic of string 1, module 4")
    region.wait_for()
    assert region.get_attribute("tabindex") == "0"
    headers = region.get_by_role("columnheader").all_inner_texts()
    assert headers[:3] == ["V in V", "I in A", "P in W"]
    assert region.get_by_role("rowheader", name="MPP").count() == 1


NOTICED = """svg => {
  const box = one => one.getBoundingClientRect()
  const sides = one => [box(one).left, box(one).right, box(one).height]
  return [sides(svg.closest(".sheet")), sides(svg), [...svg.querySelectorAll("text")].map(sides)]
}"""


def test_what_meters_would_notice_stands_above_the_tables_and_fits_its_region(bench) -> None:
    query = f"{shaded_query()}&before={pack(read_demo('workshop'))}&level=string&view=table"
    page = bench.open(query)
    figure = board(page).get_by_role("img", name="Of 6 meters 1 would notice")
    figure.wait_for()
    name = figure.get_attribute("aria-label")
    assert "clamp meter, current: against what it should be" in name
    assert board(page).locator(".noticed p").inner_text() in name
    for size in (DESK, PHONE):
        resize(page, size)
        region, drawn, texts = laid_out(page, ".board", ".noticed svg", "", NOTICED)
        assert region[0] <= drawn[0] < drawn[1] <= region[1] + 0.5, size
        assert all(drawn[0] <= left <= right <= drawn[1] for left, right, _height in texts), size
        assert min(height for *_sides, height in texts) >= 11.0, f"letters of ten pixels and more: {size}"
    captions = board(page).locator(".sheet caption").all_inner_texts()
    assert [one.split(" ")[0] for one in captions[:2]] == ["What", "A"], "meters, then a trained eye's rule"


COLUMNS = """table => {
  const heads = [...table.tHead.rows[table.tHead.rows.length - 1].cells]
  const edge = cell => Math.round(cell.getBoundingClientRect().right)
  return [...table.tBodies[0].rows].map(row => ({
    named: row.querySelector(".name") !== null,
    off: Math.max(...[...row.cells].map((cell, k) => Math.abs(edge(cell) - edge(heads[k])))),
    span: [...row.cells].every(cell => cell.offsetWidth > 0),
  }))
}"""


def test_every_row_of_the_table_stands_under_its_headings(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Module 4")
    choose(page, "What is shown", "Table")
    for size in (HALL, PHONE, DESK):
        resize(page, size)
        rows = laid_out(page, ".board", ".sheet table", "MPP", COLUMNS)
        assert sum(row["named"] for row in rows) >= 3, size  # Isc, MPP and Voc
        assert all(row["off"] <= 1 and row["span"] for row in rows), size


def test_the_construction_has_a_cursor_of_its_own(left_open) -> None:
    page = left_open.open(shaded_query())
    choose(page, "Level shown", "Module 4")
    choose(page, "What is shown", "Parts")
    slider = voltage_slider(page)
    wait_for(page, slider, "aria-label", "it === value", "cut at current")
    old = slider.get_attribute("aria-valuetext")
    slider.focus()
    page.keyboard.press("Home")
    new = wait_text(page, slider, old)
    assert new != old
    assert board(page).get_by_role("img", name="voltages add").count() == 1


def test_the_bars_of_the_construction_have_a_table_behind_them(left_open) -> None:
    page = left_open.open(shaded_query())
    page.get_by_role("tab", name="Parts").or_(page.get_by_role("radio", name="Parts")).click()
    table = page.get_by_role("table", name="How the parts add up")
    table.get_by_role("row").nth(2).wait_for()
    rows = [one.get_by_role("cell").all_inner_texts() for one in table.get_by_role("row").all()[1:]]
    sums = [[float(text.replace("\u2212", "-")) for text in row] for row in rows]
    assert sums[0][0] == 0.0
    for (_, reached), (begun, _) in pairwise(sums[:-1]):
        assert begun == reached
    assert sums[-1][1] == pytest.approx(sums[-2][1], rel=1e-2)


def test_theme_and_large_type_reach_the_canvas(left_open) -> None:
    page = left_open.open(shaded_query())
    light = frames_of(page)["current"]
    ink = f"board => (({FRAMES})(board)).current.ink.toUpperCase() === "
    assert light["ink"].upper() == "#52606B"
    looks = page.evaluate("({ ...document.documentElement.dataset })")
    page.evaluate("document.documentElement.dataset.theme = 'dark'")
    page.wait_for_function(ink + "'#A9B6BF'", arg=board(page).element_handle())
    page.evaluate("document.documentElement.dataset.large = 'true'")
    large = f"board => (({FRAMES})(board)).current.type > {1.3 * light['type']}"
    page.wait_for_function(large, arg=board(page).element_handle())
    assert frames_of(page)["current"]["stroke"] >= 4.0
    page.evaluate("looks => Object.assign(document.documentElement.dataset, looks)", looks)
    usual = f"board => (({FRAMES})(board)).current.type === {light['type']}"
    page.wait_for_function(usual, arg=board(page).element_handle())
    page.wait_for_function(ink + "'#52606B'", arg=board(page).element_handle())


def test_views_and_tools_share_a_row_in_large_type_on_a_phone(bench) -> None:
    """A second row would push the voltage axis out of sight."""
    page = bench.open("?lang=de", size=PHONE, kept={"large": "true"})
    page.wait_for_function("document.documentElement.dataset.large === 'true'")
    buttons = board(page).locator(".bar button:visible")
    rows = buttons.evaluate_all("all => all.map(one => Math.round(one.getBoundingClientRect().top / 9))")
    assert len(rows) == 6
    assert max(rows) - min(rows) <= 1
    axis = frames_of(page)["current"]
    assert axis["y"] + axis["height"] + 20 < page.locator("#curves").bounding_box()["height"]
    page.set_viewport_size(DESK)
    board(page).get_by_role("radio", name="Teile").click()
    box = laid_out(page, ".board", "*", "addieren sich Spannungen", BOX)
    room = page.locator("#curves").bounding_box()
    assert box["x"] + box["width"] <= room["x"] + room["width"], "what stands above the bars is not cut off"


def test_the_ladder_unfolds_and_leads_to_a_level(left_open) -> None:
    page = left_open.open(shaded_query())
    page.locator(".rungs summary").click()
    table = page.get_by_role("table", name="Power of the focused cell")
    table.wait_for()
    assert table.get_by_role("row").count() == 6
    table.get_by_role("button", name="String 1").click()
    level = page.get_by_role("radiogroup", name="Level shown").get_by_role("radio", name="String 1")
    wait_for(page, level, "aria-checked", "it === value", "true")
    page.locator(".rungs summary").click()
    table.wait_for(state="hidden")


def test_the_folded_ladder_shows_all_five_changes_in_one_line(left_open) -> None:
    page = left_open.open(shaded_query())
    page.get_by_role("gridcell", name="cell 16,").click()
    page.locator(".rungs .step").nth(4).wait_for()
    boxes, room = laid_out(page, "#ladder", ".rungs", "", f"""rungs => {{
      const box = {BOX}
      return [[...rungs.querySelectorAll(".step")].map(box), box(rungs)]
    }}""")
    assert len(boxes) == 5
    assert len({round(box["y"]) for box in boxes}) == 1
    assert boxes[-1]["x"] + boxes[-1]["width"] <= room["x"] + room["width"]

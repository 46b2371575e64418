"""Started in Blender's window under Xvfb: routes by the modal operator while the window lives, looks
at every panel, and keeps a screenshot: blender --factory-startup --python in_window.py -- OUT.png

Steps run from a timer, as the window must draw in between. Any failure ends Blender with status 1.
"""

import os
import sys
import time
import traceback
from pathlib import Path

sys.dont_write_bytecode = True
sys.path.insert(0, str(Path(__file__).resolve().parent))

import bpy  # noqa: E402
import support  # noqa: E402

OUT = Path(sys.argv[sys.argv.index("--") + 1])
GO = OUT.parent / "go-on"
ticks = {"while routing": 0, "stages": set()}


def window():
    return bpy.context.window_manager.windows[0]


def in_view():
    """The context of the 3D view, as a click there would have it."""
    area = next(area for area in window().screen.areas if area.type == "VIEW_3D")
    region = next(region for region in area.regions if region.type == "WINDOW")
    return bpy.context.temp_override(window=window(), area=area, region=region)


def one_large_view():
    """The 3D view alone, with the sidebar open at our tab."""
    bpy.ops.screen.screen_full_area(use_hide_panels=False)
    area = next(area for area in window().screen.areas if area.type == "VIEW_3D")
    space = area.spaces.active
    space.show_region_ui, space.show_region_toolbar = True, False
    space.shading.type, space.shading.color_type = "SOLID", "MATERIAL"
    space.overlay.show_floor = False
    return area


def empty_file():
    support.empty_file()


def build():
    bpy.context.preferences.view.show_splash = False
    scene = bpy.context.scene
    folder = OUT.parent / "window-result"
    scene.roomloom.result_folder = str(folder)
    support.build_room()
    support.furnish()
    support.place("LISTENER", "Seat", (2, 2.2, 1.2))
    bpy.ops.roomloom.place_layout(system="4+5+0")
    runs = support.addon("runs")
    rack = bpy.data.objects["rack"]
    rack.roomloom.mark.devices = "amp: S1..S9; switch: 1..4"
    scene.roomloom.runs[0].name, scene.roomloom.runs[0].start = "A1", "amp"
    labels = ("M+000", "M+030", "M-030", "M+110", "M-110", "U+030", "U-030")
    for number, label in enumerate(labels):
        runs.add_run(scene, f"amp.S{number + 1}", label, "speaker 2x2.5", f"S{number + 1}")
    for name in ("Slab", "Right", "Back"):  # so that one looks in; they stay parts of the room
        bpy.data.objects[name].display_type = "WIRE"
    bpy.ops.ed.undo_push(message="built by a script")


def look_in():
    """Into the room from above its back right corner."""
    area = next(area for area in window().screen.areas if area.type == "VIEW_3D")
    view = area.spaces.active.region_3d
    view.view_perspective = "PERSP"
    view.view_location, view.view_distance = (2.2, 2.6, 1.2), 7
    view.view_rotation = support.Euler((1.25, 0, 0.5)).to_quaternion()
    view.update()
    return area, view


def on_screen(point):
    """Where a point of the world is in the window."""
    from bpy_extras.view3d_utils import location_3d_to_region_2d

    area, view = look_in()
    region = next(region for region in area.regions if region.type == "WINDOW")
    at = location_3d_to_region_2d(region, view, point)
    return region.x + at.x, region.y + at.y


def place_by_mouse():
    """The modal placing begins; the mouse goes over the left wall and clicks."""
    answer = bpy.ops.roomloom.place("INVOKE_DEFAULT", kind="END", name="by mouse")
    assert answer == {"RUNNING_MODAL"}, answer
    mouse("MOUSEMOVE", "NOTHING", *on_screen((0.3, 3.0, 0.0)))
    click(*on_screen(ON_LEFT_WALL))


ON_LEFT_WALL = (0.0, 3.0, 1.0)


def placed_by_mouse():
    """It lies on the surface that was under the mouse, and looks away from it."""
    end = bpy.data.objects["by mouse"]
    away = (end.location - support.Vector(ON_LEFT_WALL)).length
    assert away < 0.03, end.location
    assert (end.matrix_world.to_3x3().col[2] - support.Vector((1, 0, 0))).length < 1e-3
    bpy.ops.ed.undo()
    assert "by mouse" not in bpy.data.objects, "one step of undo takes it away"


def leave_placing():
    """Begun again and left by Esc: nothing was placed."""
    bpy.ops.roomloom.place("INVOKE_DEFAULT", kind="END", name="never")
    assert "never" in bpy.data.objects
    window().event_simulate(type="ESC", value="PRESS")
    window().event_simulate(type="ESC", value="RELEASE")


def left_placing():
    assert "never" not in bpy.data.objects


def cancel_begin():
    start()


def cancelled():
    """The Cancel button ends the program; the modal operator goes and nothing was changed."""
    before = support.snapshot()
    bpy.ops.roomloom.cancel()
    assert support.snapshot() == before


def cancel_over():
    state = bpy.context.window_manager.roomloom
    assert not state.running and "cancelled" in state.message, state.message


def start():
    """The program is held up until Blender was seen to be free in between."""
    slow = OUT.parent / "slow-roomloom"
    GO.unlink(missing_ok=True)
    wait = f'while [ ! -e "{GO}" ]; do sleep 0.1; done'
    hold = f'if [ "$1" = route ]; then echo "stage: held up" >&2; {wait}; fi'
    slow.write_text(f'#!/bin/sh\n{hold}\nexec "{support.PROGRAM}" "$@"\n')
    slow.chmod(0o755)
    support.use_program(slow)
    answer = bpy.ops.roomloom.route("INVOKE_DEFAULT")
    assert answer == {"RUNNING_MODAL"}, answer
    assert bpy.context.window_manager.roomloom.running
    ticks["started"] = time.monotonic()


def routed():
    """Called until the routing is over; counts how often Blender was free in between."""
    state = bpy.context.window_manager.roomloom
    if state.running:
        ticks["while routing"] += 1
        ticks["stages"].add(state.stage)
        if ticks["while routing"] >= 3 and "held up" in ticks["stages"]:
            GO.touch()
        assert time.monotonic() - ticks["started"] < 300, "the routing does not end"
        return False
    assert not state.is_error, state.message
    result = bpy.context.scene.roomloom.result
    assert len(result.runs) == 9 and all(row.routed for row in result.runs), state.message
    assert ticks["while routing"] >= 3, "Blender was not free while the program ran"
    return True


def undone():
    """The modal operator left one step of undo: without it the result is gone, with it back."""
    bpy.ops.ed.undo()
    assert "Run S1" not in bpy.data.objects
    with in_view():
        bpy.ops.ed.redo()
    assert "Run S1" in bpy.data.objects


def chosen():
    """A click in the list selects the run and moves the view to it."""
    area, _ = look_in()
    result = bpy.context.scene.roomloom.result
    result.run_index = next(i for i, row in enumerate(result.runs) if row.name == "S4")
    assert bpy.context.view_layer.objects.active.name == "Run S4"
    near = area.spaces.active.region_3d.view_location
    assert (near - support.Vector((2.2, 2.6, 1.2))).length > 0.05, near
    area, _ = look_in()
    area.spaces.active.overlay.show_axis_x = area.spaces.active.overlay.show_axis_y = False
    bpy.data.objects["Tiles"].display_type = "WIRE"
    raceway = result.collection.children.get("Raceway")
    if raceway:  # so that the picture shows the cables in it
        raceway.hide_viewport = True


def finding_chosen():
    """A click on a finding puts the cursor at its place and moves the view there."""
    area, _ = look_in()
    findings = bpy.context.scene.roomloom.result.findings
    row = findings.add()
    row.name, row.text, row.level, row.has_place = "S1", "Made up.", "should", True
    row.at_m = (1.5, 2.5, 1.25)
    bpy.context.scene.roomloom.result.finding_index = len(findings) - 1
    near = area.spaces.active.region_3d.view_location
    assert (near - support.Vector(row.at_m)).length < 1e-5, near
    assert bpy.context.view_layer.objects.active.name == "Run S1"
    bpy.context.scene.cursor.location = (0, 0, 0)
    findings.remove(len(findings) - 1)


def mouse(kind, value, x, y):
    window().event_simulate(type=kind, value=value, x=int(x), y=int(y))


def click(x, y):
    mouse("MOUSEMOVE", "NOTHING", x, y)
    mouse("LEFTMOUSE", "PRESS", x, y)
    mouse("LEFTMOUSE", "RELEASE", x, y)


def show_tab():
    """A click on the lower one of the two tabs that the sidebar has with one object chosen."""
    area = next(area for area in window().screen.areas if area.type == "VIEW_3D")
    sidebar = next(region for region in area.regions if region.type == "UI")
    click(sidebar.x + sidebar.width - 12, sidebar.y + sidebar.height - TAB_BELOW_TOP)


TAB_BELOW_TOP = 175


def panels_are_drawn():
    """Every panel draws itself once more, into a trap that remembers what failed."""
    panels = support.addon("panels")
    drawn = {panel.bl_label for panel in panels._CLASSES if panel in seen}
    missing = {panel.bl_label for panel in panels._CLASSES} - drawn
    # Closed panels draw no body until they are opened.
    closed = {
        p.bl_label for p in panels._CLASSES if "DEFAULT_CLOSED" in getattr(p, "bl_options", ())
    }
    assert missing <= closed, missing - closed
    assert not faults, faults


seen, faults = set(), []


def watch_panels():
    """Wraps each panel's draw, to know that it ran and ran through."""
    for panel in support.addon("panels")._CLASSES:
        panel.draw = watched(panel, panel.draw)


def watched(panel, original):
    def draw(self, context):
        try:
            original(self, context)
            seen.add(panel)
        except Exception:
            faults.append(traceback.format_exc())
            raise

    return draw


def redraw():
    bpy.ops.wm.redraw_timer(type="DRAW_WIN_SWAP", iterations=2)


def screenshot():
    bpy.ops.screen.screenshot(filepath=str(OUT))
    assert OUT.stat().st_size > 20000, OUT.stat().st_size
    image = bpy.data.images.load(str(OUT))
    width, height = image.size
    pixels = image.pixels[:]
    grey = sum(pixels[0 : 4 * width * height : 4 * 97]) / len(
        pixels[0 : 4 * width * height : 4 * 97]
    )
    assert 0.02 < grey < 0.98, f"the picture is empty ({grey})"
    bpy.data.images.remove(image)


STEPS = [
    empty_file,
    build,
    one_large_view,
    watch_panels,
    look_in,
    redraw,
    place_by_mouse,
    placed_by_mouse,
    leave_placing,
    left_placing,
    cancel_begin,
    cancelled,
    cancel_over,
    start,
    routed,
    undone,
    finding_chosen,
    chosen,
    show_tab,
    redraw,
    redraw,
    screenshot,
    panels_are_drawn,
]


def step():
    try:
        while STEPS:
            if STEPS[0] is empty_file:  # every window is made anew
                answer = STEPS[0]()
            else:
                with in_view():
                    answer = STEPS[0]()
            if answer is False:
                return 0.05
            print("done:", STEPS.pop(0).__name__, f"{time.monotonic():.1f}", flush=True)
            return 0.3
        print("stages seen:", sorted(ticks["stages"]), "looks in between:", ticks["while routing"])
        sys.stdout.flush()
        os._exit(0)
    except BaseException:
        traceback.print_exc()
        sys.stderr.flush()
        os._exit(1)


support.install()
bpy.app.timers.register(step, first_interval=0.5, persistent=True)

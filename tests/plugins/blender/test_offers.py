import shutil
import unittest
from pathlib import Path
from unittest import mock

import bpy
import support
from support import InBlender, add_box, addon, build_room, furnish, mark, place


class Offers(InBlender):
    def test_fields_offer_what_program_and_scene_hold(self):
        build_room()
        furnish()
        names = addon("names_offered")
        cables = names.cables(None, bpy.context, "")
        for cable in ("speaker 2x2.5", "cat6"):
            self.assertIn(cable, cables)
        offered = names.endpoints(None, bpy.context, "")
        for name in ("rack", "amp", "amp.S1", "amp.S4", "switch.4", "left", "data"):
            self.assertIn(name, offered)
        self.assertNotIn("M+000", offered, "there is no listener yet")
        place("LISTENER", "Seat", (2, 2.2, 1.2))
        self.ours.system = "0+5+0"
        offered = names.endpoints(None, bpy.context, "")
        self.assertIn("M+000", offered)
        self.assertNotIn("LFE1", offered, "a label without a place is no end")
        parts = names.part_names(None, bpy.context, "")
        self.assertIn("Front", parts)
        self.assertNotIn("left", parts)

    def test_without_the_program_fields_offer_nothing_of_it_and_do_not_fail(self):
        support.use_program("/nowhere/roomloom")
        self.assertEqual(addon("names_offered").cables(None, bpy.context, ""), [])

    def test_the_program_is_found_beside_the_add_on(self):
        own = Path(addon().__file__).parent / "roomloom"
        shutil.copy(self.pretend_program(""), own)
        self.addCleanup(own.unlink)
        support.use_program("")
        with mock.patch.dict("os.environ", {"ROOMLOOM_PROGRAM": ""}):
            self.assertEqual(addon("preferences").program().path, str(own))
            self.assertEqual(bpy.ops.roomloom.check_program(), {"FINISHED"})


class Roles(InBlender):
    def test_every_role_of_the_list_reaches_the_job_and_fits_it(self):
        build_room()
        furnish()
        files = addon("roomloom_files")
        for number, role in enumerate(files.ROLES):
            thing = add_box(f"As {role}", (0.1 * number, 1, 0.5), (0.1 * number + 0.05, 1.1, 0.6))
            mark(thing, addon("properties").identifier(role))
            if role == "conduit":
                thing.roomloom.mark.use_inside, thing.roomloom.mark.inside = True, 0.02
            if role == "suspended ceiling":
                thing.roomloom.mark.use_tile, thing.roomloom.mark.tile = True, (0.6, 0.6)
        prepared = addon("route").Prepared(bpy.context)
        self.assertEqual(prepared.problems, [])
        said = {rule["match"]: rule["is"] for rule in prepared.job["parts"]}
        for role in files.ROLES:
            if role == "rack":
                self.assertIn("As rack", [gear["id"] for gear in prepared.job["gear"]])
            else:
                self.assertEqual(said[f"As {role}"], role)


class Undo(InBlender):
    def test_a_layout_is_undone_in_one_step(self):
        build_room()
        place("LISTENER", "Seat", (2, 2.2, 1.2))
        bpy.ops.ed.undo_push(message="before")
        bpy.ops.roomloom.place_layout(system="0+5+0")
        bpy.ops.ed.undo_push(message="placed")
        self.assertIn("M+030", bpy.data.objects)
        bpy.ops.ed.undo()
        kinds = [thing.roomloom.kind for thing in bpy.data.objects]
        self.assertEqual((kinds.count("END"), kinds.count("LISTENER")), (0, 1))
        bpy.ops.ed.redo()
        self.assertIn("M+030", bpy.data.objects)

    def test_a_row_taken_out_of_the_table_comes_back(self):
        build_room()
        furnish()
        bpy.ops.ed.undo_push(message="before")
        bpy.ops.roomloom.row_remove(table="runs")
        bpy.ops.ed.undo_push(message="removed")
        self.assertEqual([run.name for run in self.ours.runs], ["S1"])
        bpy.ops.ed.undo()
        self.assertEqual([run.name for run in self.ours.runs], ["S1", "N1"])


class Again(InBlender):
    def test_routing_again_and_again_leaves_nothing_of_the_older_results(self):
        build_room()
        furnish()

        def counts():
            kept = (bpy.data.objects, bpy.data.meshes, bpy.data.materials, bpy.data.collections)
            return [len(held) for held in kept]

        self.route()
        first = counts()
        for _ in range(2):
            self.route()
            self.assertEqual(counts(), first)

    def test_a_scene_that_is_gone_when_the_program_ends_is_told(self):
        build_room()
        furnish()
        session = addon("route").Session(bpy.context)
        session.routing.wait(120)
        first = bpy.context.scene
        bpy.ops.scene.new(type="EMPTY")
        bpy.data.scenes.remove(first)
        with self.assertRaises(addon("roomloom_files").Told) as raised:
            session.finish()
        self.assertEqual(raised.exception.code, "scene.gone")
        self.assertEqual(self.result_objects(), [])

    def test_a_modelled_tray_is_a_medium(self):
        build_room()
        furnish()
        tray = add_box("Tray", (0.02, 1.6, 1.15), (0.17, 4.9, 1.21))
        mark(tray, "CONDUIT", inside=0.05)
        stretches = self.route().plan["runs"][0]["stretches"]
        places = [(s["place"]["kind"], s["place"]["name"]) for s in stretches]
        self.assertIn(("conduit", "Tray"), places)


if __name__ == "__main__":
    unittest.main()

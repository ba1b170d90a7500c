import assert from "node:assert/strict"
import { readdirSync, readFileSync } from "node:fs"
import { test } from "node:test"

import { fileButton } from "../../static/shared/file_button.js"
import { layPaper } from "./paper.js"

layPaper()

test("the button alone speaks: the field behind it is hidden, and has what tests and styles call it by", () => {
  const [press, field] = fileButton("Open a file…", ".toml", () => {}, { press: { class: "link" }, field: { id: "field-open" } })
  assert.deepEqual([press.attributes.class, press.textContent], ["link", "Open a file…"])
  assert.deepEqual([field.attributes.hidden, field.attributes.accept, field.attributes.id], ["", ".toml", "field-open"])
})

test("a press asks for a file; what is chosen is handed on, and the same one can be chosen again", () => {
  const taken = []
  const [press, field] = fileButton("Open a file…", ".toml", (file) => taken.push(file))
  let asked = 0
  field.click = () => { asked += 1 }
  press.hear("click")
  assert.equal(asked, 1)
  Object.assign(field, { files: ["a"], value: "a" })
  field.hear("change")
  assert.deepEqual([taken, field.value], [["a"], ""])
  field.files = []
  field.hear("change") // left without choosing
  assert.deepEqual(taken, ["a"])
})

test("no other script makes a field for files", () => {
  const root = new URL("../../static/", import.meta.url)
  const makers = readdirSync(root, { recursive: true })
    .filter((name) => name.endsWith(".js") && /type: "file"/.test(readFileSync(new URL(name, root), "utf8")))
  assert.deepEqual(makers, ["shared/file_button.js"])
})

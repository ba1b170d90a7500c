// What reaches into private parts of BokehJS, each with its reason; those of Panel and Bokeh are in mends.py.
// Where a release changes them, tests/app/test_page.py fails in `the_state_outlives_a_lost_connection`.

/** BokehJS 3.9 goes on with the half of a message that the old connection left, and then reads nothing right. */
export const startReading = connection => {
  if (connection?._receiver) connection._receiver._current_consumer = connection._receiver._HEADER
}

/** After a gap BokehJS 3.9 puts the roots in anew and tells the server of them, which has them already. */
export const keepRootsHere = page => {
  const add = page.add_root.bind(page)
  page.add_root = model => add(model, { sync: false })
}

// @ts-check
// What reaches into private parts of BokehJS, each with its reason; those of Panel and Bokeh are in pvsim/app/mends.
// Where a release changes them, tests/app/shell/test_page.py fails in `the_state_outlives_a_lost_connection`.

/**
 * BokehJS 3.9 sends whatever comes up, also while there is no socket, and on a new one before the document
 * has come: then it speaks of parts that a server started anew does not have. What comes up in between is
 * of a page that is about to be drawn anew; nobody needs it.
 * @param {any} connection
 */
export const speakWhenHeard = connection => {
  if (!connection || connection.pvsim_listens) return
  connection.pvsim_listens = true
  const connect = connection.connect.bind(connection)
  const send = connection.send.bind(connection)
  let heard = false
  connection.connect = async () => {
    heard = false
    const session = await connect()
    heard = true
    return session
  }
  connection.send = (/** @type {any} */ message) => {
    const asks = message.msgtype() === "PULL-DOC-REQ"
    if ((heard || asks) && connection.socket?.readyState === WebSocket.OPEN) send(message)
  }
}

/**
 * BokehJS 3.9 goes on with the half of a message that the old connection left, and then reads nothing right.
 * @param {any} connection
 */
export const startReading = connection => {
  if (connection?._receiver) connection._receiver._current_consumer = connection._receiver._HEADER
}

/**
 * After a gap BokehJS 3.9 puts the roots in anew and tells the server of them, which has them already.
 * @param {any} page
 */
export const keepRootsHere = page => {
  const add = page.add_root.bind(page)
  page.add_root = (/** @type {any} */ model) => add(model, { sync: false })
}

// What a student's pages do for practice without a network. Each part can do without the others.
import * as afterwards from "./afterwards.js";
import * as app from "./app.js";
import * as logForm from "./log_form.js";
import * as mastery from "./mastery.js";
import * as queue from "./queue.js";
import * as signOut from "./sign_out.js";
import * as state from "./state.js";
import * as waitingList from "./waiting_list.js";

if (queue.device) {
  for (const part of [logForm, mastery, state, waitingList, signOut, app, afterwards, queue]) part.start();
}

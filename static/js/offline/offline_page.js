// What a student's pages do for practice without a network. Each part can do without the others.
import * as laterForms from "./later_forms.js";
import * as laterRequests from "./later_requests.js";
import * as homeScreen from "./home_screen.js";
import * as installation from "./installation.js";
import * as freshParts from "./fresh_parts.js";
import * as logForm from "./log_form.js";
import * as queue from "./queue.js";
import * as signOut from "./sign_out.js";
import * as deviceState from "./device_state.js";
import * as waitingList from "./waiting_list.js";

if (queue.device) {
  for (const part of [logForm, freshParts, laterForms, deviceState, waitingList, signOut, installation, homeScreen, laterRequests, queue]) part.start();
}

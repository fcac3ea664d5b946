// What every page can do with scripts on; without them the same links and forms work.
import { live } from "./live.js";
import { whyPanel } from "./why.js";

document.documentElement.classList.add("scripted");
whyPanel(document.getElementById("why"));
live(document.querySelector("[data-live]"), document.getElementById("understood"));

// On a phone the steps run off the edge: bring the one that is open into view.
const step = document.querySelector(".steps [aria-current]");
if (step) step.closest("ol").scrollLeft = step.offsetLeft - 40;

// The desk: the score to be marked, the marks beside it, the drills that come of them.

import { showBar } from "./bar.js";
import { showCard } from "./card.js";
import { showDrills } from "./drills.js";
import { showFingers } from "./fingers.js";
import { showHearing } from "./hear.js";
import { handleMarking } from "./marking.js";
import { showMistakes } from "./mistakes.js";
import { showScore } from "./score.js";
import { showShades } from "./shades.js";
import { connect } from "./talk.js";
import { showTerrain } from "./terrain.js";
import { fetchWords } from "./words.js";

await fetchWords();
showBar();
showTerrain();
showScore();
showShades();
showFingers();
showMistakes();
showCard();
showDrills();
showHearing();
handleMarking();
connect();

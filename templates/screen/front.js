// The front page: whether anything is kept, and how far each drill has come.

// `drillAt(stop)` is the drill that a button of the contents leads to, null for none.
export function showFront(root, says, store, practice, drillAt) {
  const kept = root.querySelector("#kept");
  kept.textContent = store.isKept ? says.kept : says.notKept;
  kept.classList.toggle("warning", !store.isKept);
  for (const button of root.querySelectorAll("[data-go]")) {
    const drill = drillAt(Number(button.dataset.go));
    if (!drill) continue;
    const { marks } = drill.ladder;
    const best = practice.ticked(drill);
    const count = marks.filter((mark) => mark <= best).length;
    const said = says.boxes.replace("{count}", count).replace("{all}", marks.length);
    button.querySelector(".done").textContent = said;
  }
}

// Keys 1 to 4, and the arrows for left and right, press the buttons.
const keys = { "1": "left", "2": "right", "3": "no difference", "4": "cannot tell", ArrowLeft: "left", ArrowRight: "right" };
addEventListener("keydown", (event) => {
  const outcome = keys[event.key];
  if (!outcome || event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
  const button = [...document.querySelectorAll("button")].find((b) => b.value === outcome);
  if (button) button.click();
});

/** Names that are read as an arm without the drill. */
export const CONTROL_NAME =
  /^(control|controls|cont|usual|usual[ _-](practice|coaching|care)|practice[ _-]as[ _-]usual|comparison|no[ _-]drill|wait(ing)?([ _-]?list)?|sham|placebo)$/i;

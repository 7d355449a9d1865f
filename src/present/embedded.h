/* embedded.h - files of src/present/ that become part of a page; the build
 * turns each into a text of the program. */
#ifndef KEEPCLEAR_PRESENT_EMBEDDED_H
#define KEEPCLEAR_PRESENT_EMBEDDED_H

const char *embedded_evaluator_js(void);
const char *embedded_reasons_js(void);
const char *embedded_machine_js(void);
const char *embedded_hands_js(void);
const char *embedded_lesson_js(void);
const char *embedded_lesson_css(void);
const char *embedded_testsheet_css(void);

#endif

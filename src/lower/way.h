/* way.h - what runs between inputs and actuators. */
#ifndef KEEPCLEAR_LOWER_WAY_H
#define KEEPCLEAR_LOWER_WAY_H

enum lower_way {
    LOWER_AT_WILL,       /* no programs, no WIRING OUT: in every scan, dark
                            ones too, every actuator has any value, and so
                            has whatever they write */
    LOWER_COMMANDED_FREE, /* no programs: what they write and every COMMANDED
                            has any value while lit; WIRING OUT in place */
    LOWER_READ_FREE,    /* programs run; what they read has any value in
                            every lit scan, whatever contacts, sensors and
                            WIRING IN give */
    LOWER_SENSORS_HELD  /* everything runs; each sensor has a row of three
                            values, in the order of sensors: it shows what it
                            sees, or FALSE, or TRUE, to all that reads it in
                            this scan but machine, assumptions, recorders and
                            requirements */
};

#endif

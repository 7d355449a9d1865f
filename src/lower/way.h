/* way.h - what runs between inputs and actuators. */
#ifndef KEEPCLEAR_LOWER_WAY_H
#define KEEPCLEAR_LOWER_WAY_H

enum lower_way {
    LOWER_AT_WILL,       /* no programs, no WIRING OUT: in every scan, dark
                            ones too, every actuator has any value, and so
                            has whatever they write */
    LOWER_COMMANDED_FREE, /* no programs: what they write and every COMMANDED
                            has any value while lit; WIRING OUT in place */
    LOWER_READ_FREE     /* programs run; what they read has any value in
                            every lit scan, whatever contacts, sensors and
                            WIRING IN give */
};

#endif

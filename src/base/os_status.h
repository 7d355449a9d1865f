/* os_status.h - what became of something asked of the operating system. */
#ifndef KEEPCLEAR_BASE_OS_STATUS_H
#define KEEPCLEAR_BASE_OS_STATUS_H

enum os_status {
    OS_OK,
    OS_NOT_FOUND,
    OS_NOT_READABLE,
    OS_IS_FOLDER,
    OS_TOO_LARGE,
    OS_NOT_WRITABLE,
    OS_FULL,
    OS_CLOSED,
    OS_TIMED_OUT,
    OS_CHILD_FAILED,
    OS_EXISTS,
    OS_FAILED
};

#endif

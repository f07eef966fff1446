/* Endpoint 0 of the USB device: what it is, and the requests of host and class. Runs in the interrupt. */
#pragma once
#include <stdbool.h>

/* The bus was reset: nothing is under way any more. */
void usb_control_reset(void);

/* A SETUP packet has come; a transfer under way is over. */
void usb_control_setup(void);

/* The host has taken a packet from endpoint 0, or given it one. */
void usb_control_in_done(void);
void usb_control_out_done(void);

/* Between a SETUP packet and the end of what it asked for. */
bool usb_control_under_way(void);

/* What requests on endpoint 0 do to the data endpoints. Runs in the interrupt. */
#pragma once
#include <stdbool.h>
#include <stdint.h>

/* Takes this configuration, 0: none. What was queued or half sent is dropped. */
void usb_data_configure(uint8_t value);
uint8_t usb_data_configuration(void);

/* ENDPOINT_HALT cleared: the endpoint starts again at DATA0 (USB 2.0 section 9.4.5). */
void usb_data_clear_halt(uint32_t endpoint);

/* A program opens or closes the port (DTR). */
void usb_data_open(bool open);

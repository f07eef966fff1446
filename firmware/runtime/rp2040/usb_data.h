/* The data endpoints, as bus events and requests on endpoint 0 move them. Runs in the interrupt. */
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

/* The host has taken a packet, or given one. */
void usb_data_in_done(void);
void usb_data_out_done(void);

/* The bus sleeps: nobody hears replies. */
void usb_data_suspend(bool asleep);
bool usb_data_suspended(void);

/* RP2040 data sheet 4.1: device mode. The controller and its interrupt; what packets mean lies below. */
#include "usb.h"
#include "processor.h"
#include "timer.h"
#include "usb_control.h"
#include "usb_data.h"
#include "usb_descriptors.h"
#include "usb_registers.h"

/* A host that gets to know the device, or tells it something, asks again within so long. */
#define SETTLED_AFTER_MS 250u
/* The standard gives a request without data 50 ms (USB 2.0 section 9.2.6.4). */
#define CONTROL_END_MS 50u
/* Looks, a second apart, without a new frame: one may fall into a change that its event is about to tell. */
#define STALLED_LOOKS 2u

static bool attached;
static uint32_t stalled_looks;
static uint32_t frame_seen;
static volatile uint64_t asked_ms; /* when the host last reset the bus or sent a request */

static void on_buffers_done(void) {
  uint32_t done = REG(BUFF_STATUS);
  REG(BUFF_STATUS) = done;
  if (done & BIT_IN(0)) {
    usb_control_in_done();
  }
  if (done & BIT_OUT(0)) {
    usb_control_out_done();
  }
  if (done & BIT_OUT(ENDPOINT_DATA)) {
    usb_data_out_done();
  }
  if (done & BIT_IN(ENDPOINT_DATA)) {
    usb_data_in_done();
  }
}

static void on_bus_reset(void) {
  asked_ms = timer_ms();
  REG(SIE_STATUS) = SIE_STATUS_BUS_RESET;
  REG(ADDR_ENDP) = 0;
  usb_control_reset();
  usb_data_suspend(false);
  usb_data_configure(0);
}

void usb_irq(void) {
  uint32_t status = REG(INTS);
  if (status & INT_BUS_RESET) {
    on_bus_reset();
  }
  if (status & INT_DEV_SUSPEND) {
    REG(SIE_STATUS) = SIE_STATUS_SUSPENDED;
    usb_data_suspend(true);
  }
  if (status & INT_DEV_RESUME) {
    REG(SIE_STATUS) = SIE_STATUS_RESUME;
    usb_data_suspend(false);
  }
  /* Whoever moves packets is awake, however it woke. */
  if (status & (INT_BUFF_STATUS | INT_SETUP_REQ)) {
    usb_data_suspend(false);
  }
  /* After a flash operation both may wait: the end of one transfer comes before the next one's start. */
  if (status & INT_BUFF_STATUS) {
    on_buffers_done();
  }
  if (status & INT_SETUP_REQ) {
    REG(SIE_STATUS) = SIE_STATUS_SETUP_REC;
    asked_ms = timer_ms();
    usb_control_setup();
  }
}

void usb_start(void) {
  reset_afresh(RESETS_USBCTRL);
  for (uint32_t offset = 0; offset < OFFSET_CONTROL; offset += 4) {
    REG(USBCTRL_DPRAM_BASE + offset) = 0;
  }
  REG(USB_MUXING) = USB_MUXING_TO_PHY_SOFTCON;
  REG(USB_PWR) = USB_PWR_VBUS_DETECT_FORCED;
  EP_CTRL_IN(ENDPOINT_NOTIFY_IN) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(3u) | OFFSET_NOTIFY_IN;
  EP_CTRL_OUT(ENDPOINT_DATA) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(2u) | OFFSET_DATA_OUT;
  EP_CTRL_IN(ENDPOINT_DATA) =
      EP_CTRL_ENABLE | EP_CTRL_INTERRUPT_PER_BUFFER | EP_CTRL_TYPE(2u) | OFFSET_DATA_IN;
  REG(MAIN_CTRL) = MAIN_CTRL_CONTROLLER_EN;
  REG(SIE_CTRL) = SIE_CTRL_EP0_INT_1BUF;
  REG(INTE) = INT_BUFF_STATUS | INT_BUS_RESET | INT_SETUP_REQ | INT_DEV_SUSPEND | INT_DEV_RESUME;
  interrupt_enable(USBCTRL_IRQ, 1);
  attached = false;
}

/* Off the bus, in no configuration: for the second until the next look, so that a hub notices. */
static void begin_afresh(void) {
  REG(INTE) = 0;
  usb_control_reset();
  usb_data_suspend(false);
  usb_data_configure(0);
  usb_start();
}

/*
 * A controller on a bus that is awake counts frames. Errata RP2040-E15 (it hangs when a bulk packet meets the end of a
 * frame) and RP2040-E5 (it does not leave a bus reset, steppings B0 and B1) both end that.
 */
static bool has_stalled(void) {
  uint32_t frame = REG(SOF_RD) & SOF_RD_COUNT_MASK;
  bool counts = frame != frame_seen || usb_data_suspended();
  frame_seen = frame;
  stalled_looks = counts ? 0 : stalled_looks + 1;
  return stalled_looks >= STALLED_LOOKS;
}

void usb_watch(void) {
  uint32_t primask = interrupts_off();
  if (!attached) {
    attached = true;
    stalled_looks = 0;
    REG_SET(SIE_CTRL) = SIE_CTRL_PULLUP_EN;
  } else if (has_stalled()) {
    begin_afresh();
  }
  interrupts_restore(primask);
}

bool usb_settled(void) {
  uint32_t primask = interrupts_off();
  bool settled = !attached || usb_data_suspended() || timer_ms() - asked_ms >= SETTLED_AFTER_MS;
  interrupts_restore(primask);
  return settled;
}

void usb_await_control_end(void) {
  uint64_t until_ms = timer_ms() + CONTROL_END_MS;
  while (usb_control_under_way() && timer_ms() < until_ms) {
  }
}

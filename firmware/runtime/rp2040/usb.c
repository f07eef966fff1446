/* RP2040 data sheet 4.1: device mode. The controller and its interrupt; what packets mean lies below. */
#include "usb.h"
#include "usb_control.h"
#include "usb_data.h"
#include "usb_descriptors.h"
#include "usb_registers.h"

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
  REG_SET(SIE_CTRL) = SIE_CTRL_PULLUP_EN;
}

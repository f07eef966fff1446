@ Boot stage: sets the flash interface to quad I/O continuous reads, then starts the runtime.
@ The ROM copies these 256 bytes to RAM, checks the CRC in the last four (filled in by the build) and
@ runs them (RP2040 data sheet 2.8.1). The runtime keeps a copy and calls it after each flash
@ operation: entered with a return address in lr it returns, entered with lr = 0 it starts the image.
@ Registers: data sheet 4.10.13. Flash commands: W25Q16JV data sheet, section 8.

  .syntax unified
  .cpu cortex-m0plus
  .thumb
  .section .boot2, "ax"

  .equ PADS_QSPI_BASE, 0x40020000
  .equ PADS_SCLK, 0x04
  .equ PADS_SD0, 0x08
  .equ XIP_SSI_BASE, 0x18000000
  .equ SSI_CTRLR0, 0x00
  .equ SSI_CTRLR1, 0x04
  .equ SSI_SSIENR, 0x08
  .equ SSI_BAUDR, 0x14
  .equ SSI_SR, 0x28
  .equ SSI_DR0, 0x60
  .equ SSI_RX_SAMPLE_DLY, 0xf0
  .equ SSI_SPI_CTRLR0, 0xf4
  @ Pads, data sheet 2.19.6.3: 8 mA and fast slew; data pads begin with the Schmitt trigger on.
  .equ PAD_SLEW_FAST, 1 << 0
  .equ PAD_SCHMITT, 1 << 1
  .equ PAD_DRIVE_8MA, 2 << 4
  .equ SR_TFE_BIT, 1 << 2
  .equ SR_BUSY_BIT, 1 << 0
  .equ VTOR, 0xe000ed08
  .equ IMAGE_VECTORS, 0x10000100

  .equ WRITE_STATUS, 0x01
  .equ READ_STATUS_1, 0x05
  .equ WRITE_ENABLE, 0x06
  .equ READ_STATUS_2, 0x35
  .equ STATUS_1_BUSY, 1 << 0
  .equ STATUS_2_QUAD_ENABLE, 1 << 1
  .equ FAST_READ_QUAD_IO, 0xeb
  .equ CONTINUOUS_READ, 0xa0

  @ 8-bit frames, standard SPI, transmit and receive.
  .equ CTRLR0_COMMAND, 7 << 16
  @ 32-bit frames, quad SPI, receive after sending command and address ("EEPROM read").
  .equ CTRLR0_XIP, (2 << 21) | (31 << 16) | (3 << 8)
  @ Address and mode bits are 8 nibbles, 4 wait cycles (quad I/O read: M7-0, then 2 dummy bytes).
  .equ SPI_CTRLR0_ENTER, (4 << 11) | (2 << 8) | (8 << 2) | 1
  .equ SPI_CTRLR0_XIP, (CONTINUOUS_READ << 24) | (4 << 11) | (0 << 8) | (8 << 2) | 2
  @ clk_sys / 4: at 125 MHz the flash sees 31 MHz, far below its limit, whatever the wiring.
  .equ CLOCK_DIVIDER, 4
  @ The reply is sampled one clk_sys later: it has come a long way through both pads.
  .equ SAMPLE_DELAY, 1

  .global boot2
boot2:
  push {lr}
  ldr r3, =PADS_QSPI_BASE
  movs r0, #PAD_DRIVE_8MA | PAD_SLEW_FAST
  str r0, [r3, #PADS_SCLK]
  ldr r0, [r3, #PADS_SD0]
  movs r1, #PAD_SCHMITT          @ off on SD0-3: it costs setup time
  bics r0, r1
  str r0, [r3, #PADS_SD0]
  str r0, [r3, #PADS_SD0 + 4]
  str r0, [r3, #PADS_SD0 + 8]
  str r0, [r3, #PADS_SD0 + 12]

  ldr r3, =XIP_SSI_BASE
  movs r1, #0
  str r1, [r3, #SSI_SSIENR]
  movs r1, #CLOCK_DIVIDER
  str r1, [r3, #SSI_BAUDR]
  movs r1, #SAMPLE_DELAY
  movs r2, #SSI_RX_SAMPLE_DLY
  str r1, [r3, r2]
  ldr r1, =CTRLR0_COMMAND
  str r1, [r3, #SSI_CTRLR0]
  movs r1, #1
  str r1, [r3, #SSI_SSIENR]

  movs r0, #READ_STATUS_2        @ quad enable is non-volatile: written once in the chip's life
  bl command_with_reply
  movs r2, #STATUS_2_QUAD_ENABLE
  tst r0, r2
  bne enter_quad
  movs r1, #WRITE_ENABLE
  str r1, [r3, #SSI_DR0]
  bl wait_idle
  ldr r1, [r3, #SSI_DR0]
  movs r1, #WRITE_STATUS
  str r1, [r3, #SSI_DR0]
  movs r0, #0
  str r0, [r3, #SSI_DR0]
  str r2, [r3, #SSI_DR0]
  bl wait_idle
  ldr r1, [r3, #SSI_DR0]
  ldr r1, [r3, #SSI_DR0]
  ldr r1, [r3, #SSI_DR0]
wait_written:
  movs r0, #READ_STATUS_1
  bl command_with_reply
  movs r1, #STATUS_1_BUSY
  tst r0, r1
  bne wait_written

enter_quad:
  movs r1, #0
  str r1, [r3, #SSI_SSIENR]
  ldr r1, =CTRLR0_XIP
  str r1, [r3, #SSI_CTRLR0]
  movs r1, #0
  str r1, [r3, #SSI_CTRLR1]
  ldr r1, =SPI_CTRLR0_ENTER
  ldr r0, =XIP_SSI_BASE + SSI_SPI_CTRLR0
  str r1, [r0]
  movs r1, #1
  str r1, [r3, #SSI_SSIENR]
  movs r1, #FAST_READ_QUAD_IO    @ one read with the continuous mode bits: later reads need no command
  str r1, [r3, #SSI_DR0]
  movs r1, #CONTINUOUS_READ
  str r1, [r3, #SSI_DR0]
  bl wait_idle

  movs r1, #0
  str r1, [r3, #SSI_SSIENR]
  ldr r1, =SPI_CTRLR0_XIP
  str r1, [r0]
  movs r1, #1
  str r1, [r3, #SSI_SSIENR]

  pop {r0}
  cmp r0, #0
  beq start_image
  bx r0
start_image:
  ldr r0, =IMAGE_VECTORS
  ldr r1, =VTOR
  str r0, [r1]
  ldmia r0, {r0, r1}
  msr msp, r0
  bx r1

@ r0: command in, reply byte out. r1 is lost.
command_with_reply:
  push {r2, lr}
  str r0, [r3, #SSI_DR0]
  str r0, [r3, #SSI_DR0]         @ second byte clocks the reply in
  bl wait_idle
  ldr r0, [r3, #SSI_DR0]
  ldr r0, [r3, #SSI_DR0]
  pop {r2, pc}

@ Until everything is sent and the bus is quiet. r1 is lost.
wait_idle:
  push {r0, lr}
1:
  ldr r1, [r3, #SSI_SR]
  movs r0, #SR_TFE_BIT
  tst r1, r0
  beq 1b
  movs r0, #SR_BUSY_BIT
  tst r1, r0
  bne 1b
  pop {r0, pc}

  .ltorg

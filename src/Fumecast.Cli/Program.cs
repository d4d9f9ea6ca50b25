// SPDX-License-Identifier: MIT
using Fumecast.Cli;

FirstMemory.Take();
using var interrupt = new Interrupt();
return CommandLine.Run(args, Surroundings.OfProcess(), cancel: interrupt.Token);

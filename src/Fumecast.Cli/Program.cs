// SPDX-License-Identifier: MIT
using Fumecast.Cli;

using var interrupt = new Interrupt();
return CommandLine.Run(args, Surroundings.OfProcess(), cancel: interrupt.Token);

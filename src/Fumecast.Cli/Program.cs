// SPDX-License-Identifier: MIT
using Fumecast.Cli;
using MathNet.Numerics;

// A spectrum is done before threads for it have started; several jobs share the cores as they are.
Control.MaxDegreeOfParallelism = 1;
using var interrupt = new Interrupt();
return CommandLine.Run(args, Surroundings.OfProcess(), cancel: interrupt.Token);

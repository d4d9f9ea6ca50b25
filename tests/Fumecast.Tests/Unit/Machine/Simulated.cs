// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Flow;
using Fumecast.GCode;
using Fumecast.Heat;
using Fumecast.Machine;
using Fumecast.Motion;

namespace Fumecast.Tests.Unit.Machine;

/// <summary>A short program run on a simulated printer, with everything it produced.</summary>
internal sealed class Simulated : ISliceSink
{
    private Simulated()
    {
    }

    public SimulatedPrint Print { get; private set; } = null!;

    public DiagnosticLog Log { get; } = new();

    public List<PrintSlice> Slices { get; } = [];

    public List<(double StartS, double DurationS)> Bins { get; } = [];

    public double TotalMm3 => Slices.Sum(slice => slice.DepositedMm3);

    /// <summary>A printer on which motion limits hardly matter, so that a test sees one rule at a time.</summary>
    public static PrinterProfile Printer { get; } = new()
    {
        Id = "test",
        Description = "for tests",
        Dialect = new DialectSettings { Id = "test" },
        StartLimits = () => new MotionLimits
        {
            PrintAccelMmPerS2 = 500,
            TravelAccelMmPerS2 = 1000,
            RetractAccelMmPerS2 = 3000,
            DeviationMm = 0.013,
            StopBetweenFilamentAndNozzleMoves = true,
        },
        HomingS = 20,
        ProbeS = 60,
        Nozzle = HotEnd,
        Bed = HeaterModel.FromRate(0.3, 900, 0),
        Wait = WaitRule.Residency,
        WaitWindowK = 1,
        WaitS = 10,
        AmbientC = 25,
    };

    /// <summary>The published example set of one hot end, at 40 W.</summary>
    public static HeaterModel HotEnd => new()
    {
        PowerW = 40,
        HeatCapacityJPerK = 18.42,
        LossWPerK = 0.0664,
        LossFanFullWPerK = 0.0998,
    };

    public static PrinterProfile With(Func<DialectSettings, DialectSettings> change) => Printer with { Dialect = change(Printer.Dialect) };

    public static Simulated Run(string program, PrinterProfile? printer = null, SimulationOptions? options = null)
    {
        var simulated = new Simulated();
        var interpreter = new Interpreter(
            printer ?? Printer, options ?? new SimulationOptions { NozzleIfUncommandedC = 210, BinS = 1 }, simulated, simulated.Log);
        using var stream = new MemoryStream(Encoding.UTF8.GetBytes(program));
        var reader = new GCodeReader(stream, simulated.Log);
        while (!interpreter.IsDone && reader.Read())
        {
            interpreter.Execute(reader.Command);
        }

        simulated.Print = interpreter.Finish();
        return simulated;
    }

    /// <summary>Deposit of tool 0 [mm of filament].</summary>
    public double DepositedMm => Print.Tools.Count == 0 ? 0 : Print.Tools[0].DepositedMm;

    public bool Warned(string code) => Log.Entries.Any(entry => entry.Code == code && entry.Severity == Severity.Warning);

    void ISliceSink.Slice(ref readonly PrintSlice slice) => Slices.Add(slice);

    void ISliceSink.BinClosed(double startS, double durationS) => Bins.Add((startS, durationS));
}

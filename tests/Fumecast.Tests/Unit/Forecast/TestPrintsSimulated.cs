// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Forecast.TestPrint;
using Fumecast.Machine;

namespace Fumecast.Tests.Unit.Forecast;

/// <summary>Test prints read, planned and judged by our own evenness, on every shipped printer.</summary>
public sealed class TestPrintsSimulated : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-").FullName;

    public static TheoryData<string, double, bool> Cases
    {
        get
        {
            var cases = new TheoryData<string, double, bool>();
            foreach (var printer in PrinterCatalogue.Ids)
            {
                cases.Add(printer, 0.5, false);
                cases.Add(printer, 5, true);
            }

            return cases;
        }
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [MemberData(nameof(Cases))]
    public void Flow_is_flat_as_a_meter_sees_it(string printer, double flow, bool isRelative)
    {
        var plan = TestPrintPlanner.Plan(SampleRequest.Of(PrinterCatalogue.Load(printer)) with
        {
            MaterialId = "abs",
            DensityGPerCm3 = 1.04,
            FlowMm3PerS = flow,
            NozzleC = 245,
            BedC = 100,
            BackgroundS = 300,
            DecayS = 300,
            RelativeE = isRelative,
        });
        var file = Path.Combine(_folder, "test.gcode");
        using (var output = new StreamWriter(file, append: false, new UTF8Encoding(false)))
        {
            TestPrintWriter.Write(plan, output);
        }

        var seen = EvennessRanking.Rank([file], new() { Printer = printer }).Ranked.Single().Profile.Flow;
        Assert.InRange(seen.Cv!.Value, 0, 0.005);
        Assert.Equal(0, seen.IdleShare!.Value, 1e-9);
        Assert.Equal(EvennessGrade.Flat, seen.FlowGrade);
        Close.To(1800, seen.PrintPhaseS!.Value, 0.01);
        Close.To(flow, seen.MeanMm3PerS!.Value, 0.005);

        var estimate = PrintForecast.Estimate(file, new() { Printer = printer });
        var tool = Assert.Single(estimate.Job.Tools);
        Assert.Equal("abs", tool.Material);
        Close.To(plan.MassG, tool.DepositedG - tool.PurgedMm * plan.FilamentMm2 * 1.04e-3, 1e-6);
        Assert.Equal(245, tool.NozzleMinC!.Value, 0.5);
        Assert.Equal(600, estimate.Job.Time.DwellS, 1e-6);
    }
}

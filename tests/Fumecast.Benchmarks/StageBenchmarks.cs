// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using BenchmarkDotNet.Attributes;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.GCode;
using Fumecast.Machine;

namespace Fumecast.Benchmarks;

/// <summary>The stages one on top of the other, over the same program; the difference of two is what a stage costs.</summary>
[MemoryDiagnoser]
public class StageBenchmarks
{
    private readonly byte[] _text = SampleProgram.Text;
    private readonly PrinterProfile _printer = PrinterCatalogue.Load(PrinterCatalogue.DefaultId);

    /// <summary>What a first attempt would do: text, split at blanks, numbers by the library.</summary>
    [Benchmark(Baseline = true)]
    public double Split()
    {
        using var reader = new StreamReader(new MemoryStream(_text), Encoding.ASCII);
        var sum = 0.0;
        while (reader.ReadLine() is { } line)
        {
            foreach (var word in line.Split(' '))
            {
                if (word.Length > 1 && word[0] == 'E')
                {
                    sum += double.Parse(word.AsSpan(1), CultureInfo.InvariantCulture);
                }
            }
        }

        return sum;
    }

    /// <summary>Bytes to commands.</summary>
    [Benchmark]
    public long Read()
    {
        using var content = new MemoryStream(_text);
        var reader = new GCodeReader(content, new DiagnosticLog());
        while (reader.Read())
        {
        }

        return reader.CommandCount;
    }

    /// <summary>Bytes to slices, on one core.</summary>
    [Benchmark]
    public double Simulate()
    {
        using var content = new MemoryStream(_text);
        var log = new DiagnosticLog();
        var reader = new GCodeReader(content, log);
        var interpreter = new Interpreter(_printer, new SimulationOptions(), new NoSlices(), log);
        while (reader.Read())
        {
            interpreter.Execute(reader.Command);
        }

        return interpreter.Finish().TotalS;
    }

    /// <summary>Bytes to an estimate, on one core.</summary>
    [Benchmark]
    public double Estimate()
    {
        using var content = new MemoryStream(_text);
        return PrintForecast.Estimate("-", new EstimateOptions { Stdin = content, MayUseSecondCore = false }).Job.Time.TotalS;
    }

    private sealed class NoSlices : ISliceSink
    {
        public void Slice(ref readonly PrintSlice slice)
        {
        }

        public void BinClosed(double startS, double durationS)
        {
        }
    }
}

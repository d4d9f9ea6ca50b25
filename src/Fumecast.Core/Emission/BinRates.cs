// SPDX-License-Identifier: MIT
using MathNet.Numerics.Statistics;

namespace Fumecast.Emission;

/// <summary>Gives the rates of single bins with their intervals, once the whole job is known.</summary>
/// <remarks>
/// Each bin is drawn from its components (<see cref="ToolBin"/>), the cap put on moments with and without deposit apart. Most bins of a print are
/// alike, so what was drawn for one serves for those that differ by less than two hundredths in their mix, half a kelvin and a tenth in the
/// distance to the cap. Medians are the middle values times a factor for each agent, so that the rows sum to the median of the total.
/// </remarks>
internal sealed class BinRates
{
    private const int MostKept = 4096;
    private const double FarBelowCap = 14;
    private const double DoseThatMatters = 0.005;

    private readonly AgentMix[] agents;
    private readonly ToolEmission?[] tools;
    private readonly double[] scales;
    private readonly double interval;
    private readonly FigureDraws?[] figures;
    private readonly double[]?[] numbers;
    private readonly double[]?[] tvocs;
    private readonly ToolBin[] bins;
    private readonly Dictionary<string, (double Low, double High)[]> known = [];
    private readonly char[] key;

    internal BinRates(AgentMix[] agents, ToolEmission?[] tools, double[] scales, double interval, Func<ToolEmission, FigureDraws> draw)
    {
        (this.agents, this.tools, this.scales, this.interval) = (agents, tools, scales, interval);
        figures = [.. tools.Select(tool => tool is null ? null : draw(tool))];
        numbers = [.. figures.Select(f => f is null ? null : new double[f.Count])];
        tvocs = [.. figures.Select(f => f is null ? null : new double[f.Count])];
        bins = new ToolBin[tools.Length];
        key = new char[1 + (11 * tools.Length)];
    }

    /// <summary>Rates of a bin with their intervals.</summary>
    /// <param name="components">What <see cref="EmissionAccumulator.CloseBin"/> gave for the bin.</param>
    /// <param name="durationS">Length of the bin [s], over 0.</param>
    /// <param name="ratesPerMin">Receives the rate of each agent, in the order of <see cref="EmissionAccumulator.Agents"/> [unit of the agent per min].</param>
    public void PerMin(ReadOnlySpan<double> components, double durationS, Span<Uncertain> ratesPerMin)
    {
        var used = Unpack(components);
        var ratios = RatiosOf(used);
        var perMin = 60 / durationS;
        for (var i = 0; i < agents.Length; i++)
        {
            var amount = 0.0;
            foreach (var part in agents[i].PartsSpan)
            {
                var at = Array.IndexOf(tools, part.Tool);
                amount += used.Contains(at) ? part.Amount(in bins[at]) : 0;
            }

            var rate = amount * perMin;
            var median = rate * scales[i];
            ratesPerMin[i] = new Uncertain(Math.Min(rate * ratios[i].Low, median), median, Math.Max(rate * ratios[i].High, median));
        }
    }

    private List<int> Unpack(ReadOnlySpan<double> components)
    {
        var used = new List<int>(2);
        for (var at = 0; at < components.Length; at += 1 + ToolBin.Length)
        {
            var tool = (int)components[at];
            bins[tool] = ToolBin.Unpack(components.Slice(at + 1, ToolBin.Length));
            used.Add(tool);
        }

        return used;
    }

    /// <summary>Ends of the interval over the middle value, by agent.</summary>
    private (double Low, double High)[] RatiosOf(List<int> used)
    {
        var name = Key(used);
        if (!known.TryGetValue(name, out var ratios))
        {
            if (known.Count >= MostKept)
            {
                known.Clear();
            }

            ratios = Draw(used);
            known.Add(name, ratios);
        }

        return ratios;
    }

    private string Key(List<int> used)
    {
        double number = 0, tvoc = 0;
        foreach (var tool in used)
        {
            number += bins[tool].Number;
            tvoc += bins[tool].TvocUg;
        }

        var length = 0;
        foreach (var tool in used)
        {
            ref readonly var bin = ref bins[tool];
            var material = tools[tool]!.Material;
            var rules = material.Rules;
            var y = material.NumberYieldPerG.Value;
            var left = rules.StartDose.Value * tools[tool]!.DoseAtStart * LeftOf(in bin, 0, 1, tools[tool]!);
            var printing = y * ((bin.PrintingOwnG * (rules.NozzleShare.Value + left)) + (bin.MassG * (1 - rules.NozzleShare.Value)));
            var resting = y * bin.RestingOwnG * (rules.NozzleShare.Value + left);
            Put(tool);
            Put(50 * printing / number);
            Put(50 * resting / number);
            Put(50 * y * bin.MassG / number);
            Put(2 * StepOf(bin.StepGK, in bin, material));
            var hasDose = left > DoseThatMatters;
            Put(hasDose ? 1000 - (10 * Math.Log(left)) : 0);
            Put(hasDose ? 1000 + MeanAgeStepK(in bin, tools[tool]!) : 0);
            var cap = rules.NumberCapPerMin.Value / 60;
            Put(Distance(cap * bin.PrintingS, printing));
            Put(Distance(cap * bin.RestingS, resting));
            Put(50 * material.TvocYieldUgPerG.Value * bin.TvocMassG / tvoc);
            Put(2 * TvocStepOf(in bin, material));
        }

        return new string(key, 0, length);

        static double Distance(double highest, double amount) =>
            amount > 0 && highest / amount is var ratio && Math.Log(ratio) is var distance && distance < FarBelowCap ? 1000 + (10 * distance) : 0;

        void Put(double value) => key[length++] = (char)(30_000 + (int)Math.Round(Math.Clamp(double.IsFinite(value) ? value : 0, -20_000, 20_000)));
    }

    private (double Low, double High)[] Draw(List<int> used)
    {
        foreach (var tool in used)
        {
            DrawNumber(tool);
            DrawTvoc(tool);
        }

        var ratios = new (double Low, double High)[agents.Length];
        for (var i = 0; i < agents.Length; i++)
        {
            var middle = 0.0;
            double[]? amounts = null;
            foreach (var part in agents[i].PartsSpan)
            {
                var tool = Array.IndexOf(tools, part.Tool);
                if (!used.Contains(tool))
                {
                    continue;
                }

                middle += part.Amount(in bins[tool]);
                var from = part.IsTvoc ? tvocs[tool]! : numbers[tool]!;
                amounts ??= new double[from.Length];
                var factor = part.FactorDraws?.Invoke(figures[tool]!);
                for (var k = 0; k < amounts.Length; k++)
                {
                    amounts[k] += factor is null ? from[k] : factor[k % factor.Length] * from[k];
                }
            }

            ratios[i] = amounts is not null && middle > 0
                ? (ArrayStatistics.QuantileInplace(amounts, (1 - interval) / 2) / middle, ArrayStatistics.QuantileInplace(amounts, (1 + interval) / 2) / middle)
                : (1, 1);
        }

        return ratios;
    }

    private void DrawNumber(int tool)
    {
        ref readonly var bin = ref bins[tool];
        var (draws, number, emission) = (figures[tool]!, numbers[tool]!, tools[tool]!);
        var rules = emission.Material.Rules;
        var step = StepOf(bin.StepGK, in bin, emission.Material);
        var capPerS = rules.NumberCapPerMin.Value / 60;
        for (var k = 0; k < FigureDraws.Points; k++)
        {
            var off = draws.Slope[k] - rules.NumberSlopePerK.Value;
            var hot = Math.Exp(off * step) * draws.Hotter[k];
            var own = draws.OwnShare[k] + (draws.Dose[k] > 0 ? draws.Dose[k] * LeftOf(in bin, off, draws.Hotter[k], emission) : 0);
            var printing = hot * ((own * bin.PrintingOwnG) + ((1 - draws.OwnShare[k]) * bin.MassG));
            var resting = hot * own * bin.RestingOwnG;
            for (var i = k; i < number.Length; i += FigureDraws.Points)
            {
                number[i] = Math.Min(draws.Yield[i] * printing, capPerS * bin.PrintingS) + Math.Min(draws.Yield[i] * resting, capPerS * bin.RestingS);
            }
        }
    }

    private void DrawTvoc(int tool)
    {
        ref readonly var bin = ref bins[tool];
        var (draws, tvoc, material) = (figures[tool]!, tvocs[tool]!, tools[tool]!.Material);
        var step = TvocStepOf(in bin, material);
        for (var k = 0; k < FigureDraws.Points; k++)
        {
            var s = draws.TvocOwnShare[k];
            var perYield = Math.Exp((draws.TvocSlope[k] - material.Rules.TvocSlopePerK.Value) * step) * draws.TvocHotter[k]
                * ((s * bin.TvocOwnG) + ((1 - s) * bin.TvocMassG));
            for (var i = k; i < tvoc.Length; i += FigureDraws.Points)
            {
                tvoc[i] = draws.TvocYield[i] * perYield;
            }
        }
    }

    /// <summary>What is left of the start dose, the mean over the bin [-].</summary>
    private static double LeftOf(in ToolBin bin, double slopeOff, double hotter, ToolEmission tool)
    {
        var faster = hotter * Math.Exp(slopeOff * MeanAgeStepK(in bin, tool));
        var ages = AgesIn(in bin, tool) * faster;
        return Math.Exp(-bin.AgeAtStart * faster) * (ages > 1e-6 ? (1 - Math.Exp(-ages)) / ages : 1 - (ages / 2));
    }

    private static double AgesIn(in ToolBin bin, ToolEmission tool) =>
        (bin.PrintingOwnG + bin.RestingOwnG) / (tool.ReferenceGPerS * tool.Material.Rules.StartDoseDecayS.Value);

    private static double MeanAgeStepK(in ToolBin bin, ToolEmission tool) =>
        bin.AgeAtStart + AgesIn(in bin, tool) is var age and > 0 ? bin.AgeStepK / age : 0;

    private static double StepOf(double stepGK, in ToolBin bin, Material material)
    {
        var s = material.Rules.NozzleShare.Value;
        var weight = (s * (bin.PrintingOwnG + bin.RestingOwnG)) + ((1 - s) * bin.MassG);
        return weight > 0 ? stepGK / weight : 0;
    }

    private static double TvocStepOf(in ToolBin bin, Material material)
    {
        var s = material.Rules.TvocNozzleShare.Value;
        var weight = (s * bin.TvocOwnG) + ((1 - s) * bin.TvocMassG);
        return weight > 0 ? bin.TvocStepGK / weight : 0;
    }
}

// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using Fumecast.Flow;
using MathNet.Numerics.Distributions;

namespace Fumecast.Emission;

/// <summary>Turns the slices of a job into emission by agent: over time, in total, and with intervals.</summary>
/// <remarks>
/// Middle values are those at the middle of every figure, so that bins add up to totals exactly; intervals of totals come from draws of
/// all figures (<see cref="EmissionDraws"/>), intervals of single bins from a closed form. One job per instance; not for use by several threads.
/// </remarks>
public sealed class EmissionAccumulator
{
    private const int BeforeSpecies = 3;

    private readonly EmissionOptions options;
    private readonly IReadOnlyList<Material?> materials;
    private readonly ToolEmission?[] tools;
    private readonly double z;
    private readonly AgentMix[] agents;
    private readonly Uncertain[] lastRates;
    private readonly Uncertain[] peaks;
    private readonly double[] peakAtS;
    private Dictionary<ToolEmission, ToolDraws>? toolDraws;

    /// <summary>Starts a job.</summary>
    /// <param name="materialByTool">Material of each tool; null for a tool whose emission is not to be counted.</param>
    /// <param name="options">How to calculate.</param>
    /// <param name="binS">Length of a bin of the series [s], over 0; the caller closes the bins.</param>
    public EmissionAccumulator(IReadOnlyList<Material?> materialByTool, EmissionOptions options, double binS)
    {
        ArgumentNullException.ThrowIfNull(materialByTool);
        ArgumentNullException.ThrowIfNull(options);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(binS);
        if (!(options.Interval > 0 && options.Interval < 1))
        {
            throw new ArgumentOutOfRangeException(nameof(options), options.Interval, "the interval is not between 0 and 1");
        }

        this.options = options;
        BinS = binS;
        materials = materialByTool;
        tools = new ToolEmission?[materialByTool.Count];
        z = Normal.InvCDF(0, 1, (1 + options.Interval) / 2);
        agents = AgentsOf(materialByTool);
        lastRates = new Uncertain[agents.Length];
        peaks = new Uncertain[agents.Length];
        peakAtS = new double[agents.Length];
    }

    /// <summary>Length of a full bin [s].</summary>
    public double BinS { get; }

    /// <summary>Slices left out because a value was not finite, or its tool has no material [-].</summary>
    public long LeftOut { get; private set; }

    /// <summary>The agents in the order of <see cref="LastBinRatesPerMin"/>: particle number, particle mass, TVOC, then species.</summary>
    public IReadOnlyList<(string Agent, string DisplayName, string Unit)> Agents => [.. agents.Select(a => (a.Agent, a.DisplayName, a.Unit))];

    /// <summary>Rates of the bin that was closed last, with <see cref="EmissionOptions.WantsSeries"/> [unit of the agent per min].</summary>
    public ReadOnlySpan<Uncertain> LastBinRatesPerMin => lastRates;

    /// <summary>Takes a slice.</summary>
    /// <param name="slice">The slice; valid during the call only.</param>
    /// <param name="densityGPerCm3">Density of the filament [g/cm3].</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Add(ref readonly PrintSlice slice, double densityGPerCm3)
    {
        var tool = (uint)slice.Tool < (uint)tools.Length ? tools[slice.Tool] ?? Use(slice.Tool) : null;
        if (tool is null || !double.IsFinite(slice.NozzleC + slice.DepositedMm3 + slice.StartS + slice.DurationS + slice.ExtrudingS))
        {
            LeftOut++;
            return;
        }

        tool.Add(in slice, densityGPerCm3);
    }

    /// <summary>Closes a bin: what was added since the last one belongs to it.</summary>
    /// <param name="startS">Start of the bin [s].</param>
    /// <param name="durationS">Length of the bin [s], over 0.</param>
    public void CloseBin(double startS, double durationS)
    {
        var perMin = 60 / durationS;
        for (var i = 0; i < agents.Length; i++)
        {
            var rate = 0.0;
            foreach (var part in agents[i].PartsSpan)
            {
                rate += part.Amount(in part.Tool.Bin);
            }

            rate *= perMin;
            var isPeak = rate > peaks[i].Median;
            if (!isPeak && !options.WantsSeries)
            {
                continue;
            }

            var amount = agents[i].BinAmount(durationS);
            lastRates[i] = new Uncertain(amount.Low * perMin, amount.Median * perMin, amount.High * perMin);
            if (isPeak)
            {
                peaks[i] = lastRates[i];
                peakAtS[i] = startS + durationS / 2;
            }
        }

        foreach (var tool in tools)
        {
            tool?.CloseBin();
        }

        toolDraws = null;
    }

    /// <summary>The results of the job so far.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    /// <returns>Particle number, particle mass, TVOC, then species of the tools in use, the largest first.</returns>
    public IReadOnlyList<AgentEmission> Results(double depositedG)
    {
        var draws = DrawTools();
        var results = agents
            .Select((agent, i) => (agent, i))
            .Where(entry => entry.i < BeforeSpecies || entry.agent.Parts.Count > 0)
            .Select(entry => Result(entry.agent, entry.i, depositedG, draws))
            .ToArray();
        return [.. results.Take(BeforeSpecies), .. results.Skip(BeforeSpecies).OrderByDescending(r => r.Total.Median)];
    }

    /// <summary>The totals of every draw, to compare this job with others of the same run.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    public EmissionDraws Draws(double depositedG)
    {
        var draws = DrawTools();
        return new EmissionDraws(
            agents.ToDictionary(a => a.Agent, a => (a.Amount(t => t.Total), Phases(a, draws).Total)), depositedG);
    }

    /// <summary>What the particle number of the job so far is made of, at the middle of all figures.</summary>
    /// <param name="depositedG">Deposited mass of the whole job [g].</param>
    public NumberParts NumberParts(double depositedG)
    {
        var (steadyPrinting, steadyWarmUp, yieldTimesMass, ratedG, total, burst) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        foreach (var tool in tools.OfType<ToolEmission>())
        {
            var sums = tool.Total;
            total += sums.Number;
            burst += sums.Burst;
            steadyPrinting += tool.SteadyPrinting;
            steadyWarmUp += tool.SteadyWarmUp;
            ratedG += tool.MassG;
            yieldTimesMass += tool.Material.NumberYieldPerG.Value * tool.MassG;
        }

        return new NumberParts(
            depositedG, ratedG, ratedG > 0 ? yieldTimesMass / ratedG : 0, steadyPrinting, steadyWarmUp,
            Math.Max(0, total - burst - steadyPrinting - steadyWarmUp), total);
    }

    private static AgentMix[] AgentsOf(IReadOnlyList<Material?> materials)
    {
        var agents = new List<AgentMix>
        {
            new("particle_number", "particles, number", null, "1"),
            new("particle_mass", "particles, mass", null, "ug"),
            new("tvoc", "TVOC", null, "ug"),
        };
        foreach (var one in materials.OfType<Material>().Distinct().SelectMany(material => material.Species))
        {
            if (!agents.Exists(agent => agent.Agent == one.Agent))
            {
                agents.Add(new AgentMix(one.Agent, one.Name, one.Cas, "ug"));
            }
        }

        return [.. agents];
    }

    /// <summary>Takes up a tool at its first slice: most of those that could be used never are.</summary>
    private ToolEmission? Use(int number)
    {
        if (materials[number] is not { } material)
        {
            return null;
        }

        var tool = new ToolEmission(material, options);
        tools[number] = tool;
        var rules = material.Rules;
        agents[0].Add(new AgentPart(tool, false, 1, [], null, null, z));
        agents[1].Add(new AgentPart(
            tool, false, MeanMassUg(rules), [rules.GmdNm, rules.Gsd, rules.ParticleDensityGPerCm3],
            (figure, at) => MeanMassUg(rules, figure, at), d => d.ParticleMassUg(), z));
        agents[2].Add(new AgentPart(tool, true, 1, [], null, null, z));
        for (var i = 0; i < material.Species.Count; i++)
        {
            var (one, index) = (material.Species[i], i);
            var share = one.ShareOfTvoc;
            Array.Find(agents, agent => agent.Agent == one.Agent)!
                .Add(new AgentPart(tool, true, share.Value, [share], (_, at) => Math.Min(1, share.At(at)), d => d.ShareOf(one, index), z));
        }

        return tool;
    }

    /// <summary>Mean mass of a particle [ug], with one figure off its middle.</summary>
    private static double MeanMassUg(MaterialRules rules, Figure? off = null, double at = 0)
    {
        double Of(Figure figure) => ReferenceEquals(figure, off) ? figure.At(at) : figure.Value;
        return new ParticleSize(Of(rules.GmdNm), Math.Max(1, Of(rules.Gsd))).MeanMassUg(Of(rules.ParticleDensityGPerCm3));
    }

    private Dictionary<ToolEmission, ToolDraws> DrawTools()
    {
        if (toolDraws is null)
        {
            var byMaterial = new Dictionary<string, StandardDraws>();
            toolDraws = [];
            foreach (var tool in tools.OfType<ToolEmission>())
            {
                var id = tool.Material.Id;
                if (!byMaterial.TryGetValue(id, out var draws))
                {
                    draws = new StandardDraws(id, options.Seed);
                    byMaterial.Add(id, draws);
                }

                toolDraws.Add(tool, new ToolDraws(tool, draws));
            }
        }

        return toolDraws;
    }

    private AgentEmission Result(AgentMix agent, int index, double depositedG, Dictionary<ToolEmission, ToolDraws> draws)
    {
        var phases = Phases(agent, draws);
        var total = EmissionDraws.IntervalOf(agent.Amount(t => t.Total), phases.Total, options.Interval);
        var figures = agent.FiguresThatCount().ToArray();
        return new AgentEmission
        {
            Agent = agent.Agent,
            DisplayName = agent.DisplayName,
            Cas = agent.Cas,
            Unit = agent.Unit,
            Total = total,
            PerGram = depositedG > 0 ? new Uncertain(total.Low / depositedG, total.Median / depositedG, total.High / depositedG) : null,
            PeakPerMin = peaks[index],
            PeakAtS = peakAtS[index],
            WarmUp = EmissionDraws.IntervalOf(agent.Parts.Sum(p => p.IsTvoc ? 0 : p.Factor * p.Tool.Total.WarmUp), phases.WarmUp, options.Interval),
            Printing = EmissionDraws.IntervalOf(
                agent.Parts.Sum(p => p.Factor * (p.IsTvoc ? p.Tool.Total.Tvoc : p.Tool.Total.Printing)), phases.Printing, options.Interval),
            IdleHot = EmissionDraws.IntervalOf(agent.Parts.Sum(p => p.IsTvoc ? 0 : p.Factor * p.Tool.Total.IdleHot), phases.IdleHot, options.Interval),
            Grade = figures.Length > 0 ? figures.Max(f => f.Origin.Grade)! : "D",
            ExtrapolatedShare = agent.OutsideShare(),
            Sources = [.. figures.SelectMany(f => f.Origin.Sources).Distinct()],
            HowSure = EmissionWords.HowSure(total, options.Interval),
        };
    }

    private static (double[] WarmUp, double[] Printing, double[] IdleHot, double[] Total) Phases(AgentMix agent, Dictionary<ToolEmission, ToolDraws> draws)
    {
        var (warmUp, printing, idleHot) = (new double[StandardDraws.Count], new double[StandardDraws.Count], new double[StandardDraws.Count]);
        foreach (var part in agent.Parts)
        {
            var tool = draws[part.Tool];
            var factor = part.FactorDraws?.Invoke(tool);
            Add(printing, part.IsTvoc ? tool.Tvoc : tool.Printing, factor);
            if (!part.IsTvoc)
            {
                Add(warmUp, tool.WarmUp, factor);
                Add(idleHot, tool.IdleHot, factor);
            }
        }

        var total = new double[StandardDraws.Count];
        for (var i = 0; i < total.Length; i++)
        {
            total[i] = warmUp[i] + printing[i] + idleHot[i];
        }

        return (warmUp, printing, idleHot, total);

        static void Add(double[] sums, double[] amounts, double[]? factor)
        {
            for (var i = 0; i < sums.Length; i++)
            {
                sums[i] += factor is null ? amounts[i] : factor[i] * amounts[i];
            }
        }
    }
}

/// <summary>What the particle number of a job is made of.</summary>
/// <param name="MassG">Deposited mass [g].</param>
/// <param name="RatedMassG">Mass deposited above the onset, or its equivalent at the reference mass rate where emission is not in proportion to mass [g].</param>
/// <param name="YieldPerG">Mean yield at the reference temperatures, weighted by that mass [1/g].</param>
/// <param name="SteadyPrinting">While depositing, without the start burst [-].</param>
/// <param name="SteadyWarmUp">Of the hot nozzle before the first deposit, without the start burst [-].</param>
/// <param name="SteadyIdle">Of the hot nozzle without deposit after the first one, without the start burst [-].</param>
/// <param name="Total">All, with the start burst [-].</param>
public readonly record struct NumberParts(
    double MassG, double RatedMassG, double YieldPerG, double SteadyPrinting, double SteadyWarmUp, double SteadyIdle, double Total);

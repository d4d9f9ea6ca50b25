// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>A stretch of a source at constant rates.</summary>
/// <param name="Seconds">Length [s], 0 or more.</param>
/// <param name="PerS">Rates, one for each agent of the source [unit of the agent for each s], 0 or more; read before the next stretch is asked for.</param>
internal readonly record struct SourceStep(double Seconds, ReadOnlyMemory<double> PerS);

/// <summary>Something that gives off agents in a zone: a print or anything else. Its stretches are asked for one by one and none is kept.</summary>
/// <param name="Zone">Id of the zone it stands in.</param>
/// <param name="StartS">When its first stretch begins, in the time of the run [s], 0 or more.</param>
/// <param name="Agents">What it gives off, in the order of <see cref="SourceStep.PerS"/>; agents that the run does not follow are passed over.</param>
/// <param name="Steps">Its stretches; after the last it gives off nothing.</param>
internal sealed record AirSource(string Zone, double StartS, IReadOnlyList<Agent> Agents, IEnumerable<SourceStep> Steps);

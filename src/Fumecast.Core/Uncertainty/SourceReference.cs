// SPDX-License-Identifier: MIT
namespace Fumecast.Uncertainty;

/// <summary>A published source of a figure.</summary>
/// <param name="Id">Short key.</param>
/// <param name="Citation">Full citation.</param>
/// <param name="Doi">DOI, or null.</param>
/// <param name="Known">How the figure is known: read in the source, derived, or recalled from memory.</param>
public sealed record SourceReference(string Id, string Citation, string? Doi, string Known);

// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>One claim as it stands in the file.</summary>
/// <param name="Key">The key as written, without the comment mark.</param>
/// <param name="Value">The value as written.</param>
/// <param name="Line">Line, 1-based; 0 where it is not known or not in the G-code [-].</param>
internal sealed record CommentClaim(string Key, string Value, long Line);

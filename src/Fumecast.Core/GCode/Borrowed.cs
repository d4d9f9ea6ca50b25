// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>A stream read forward only that somebody else closes.</summary>
internal sealed class Borrowed(Stream owner) : ForwardStream
{
    public override int Read(Span<byte> buffer) => owner.Read(buffer);
}

using System.Runtime.InteropServices;
using XoverOpt.Acoustics.Kernel;

namespace XoverOpt.Acoustics.Tests;

public sealed class AlignedArrayTests
{
    [Fact]
    public void Of_ManyLengths_FallOnACacheLine()
    {
        // Other tests allocate meanwhile and may spoil a few.
        double[][] arrays = [.. Enumerable.Range(1, 400).Select(AlignedArray.Of)];

        Assert.All(arrays.Select((array, index) => (array, index)), pair => Assert.Equal(new double[pair.index + 1], pair.array));
        int onEdge = arrays.Count(array => Marshal.UnsafeAddrOfPinnedArrayElement(array, 0) % 64 == 0);
        Assert.InRange(onEdge, 380, 400);
    }
}

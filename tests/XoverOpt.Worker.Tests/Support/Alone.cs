namespace XoverOpt.Worker.Tests.Support;

/// <summary>Tests that look at the memory or the pace of the whole process: nothing runs beside them.</summary>
[CollectionDefinition("alone", DisableParallelization = true)]
public sealed class Alone;

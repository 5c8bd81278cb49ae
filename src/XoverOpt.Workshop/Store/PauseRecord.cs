namespace XoverOpt.Workshop.Store;

/// <summary>A pause of the whole worker.</summary>
/// <param name="Who">Who asked for it.</param>
/// <param name="Since">When.</param>
public sealed record PauseRecord(string Who, DateTimeOffset Since);
